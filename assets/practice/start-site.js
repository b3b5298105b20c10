/* Starts the page of the practice site: the programme comes in the fragment of the address and is remembered here,
   because an icon on the home screen opens the page without it. */
(async () => {
  const LIST = "footrose-programmes";
  const read = (id) => JSON.parse(document.getElementById(id).textContent);
  const root = document.querySelector("main");
  const languages = read("languages");
  const clinic = read("clinic");
  if ("serviceWorker" in navigator) navigator.serviceWorker.register("sw.js").catch(() => {});

  let known = [];
  try {
    known = JSON.parse(localStorage.getItem(LIST) ?? "[]");
  } catch {
    known = [];
  }
  const given = location.hash.slice(1);
  const first = given || known[0]?.fragment || "";
  let programme = null;
  try {
    programme = first ? footroseCode.programmeFromFragment(first) : null;
  } catch {
    programme = null;
  }
  if (!programme) {
    const spoken = languages[navigator.language.slice(0, 2)] ?? languages.en;
    footroseViews.show(root, "read", spoken.page.no_programme,
      footroseDom.h("p", { class: "say" }, spoken.page.no_programme_do));
    return;
  }
  const words = languages[programme.lang] ?? languages.en;
  /* Under which name and with which key the log of this programme is kept: made by chance when it is first opened. */
  let mine = known.find((one) => one.mark === programme.mark);
  if (!mine) {
    const chance = (count) => [...crypto.getRandomValues(new Uint8Array(count))];
    mine = {
      mark: programme.mark,
      name: `footrose-${chance(8).map((byte) => byte.toString(16).padStart(2, "0")).join("")}`,
      key: btoa(String.fromCharCode(...chance(32))),
    };
  }
  mine.fragment = first;
  try {
    localStorage.setItem(LIST, JSON.stringify([mine, ...known.filter((one) => one.mark !== programme.mark)]));
  } catch {
    /* Private windows keep nothing; the page says so. */
  }
  footrosePage.begin({
    ...programme, general: true, drawings: read("drawings"), emergency: clinic.emergency,
    contacts: clinic.contacts[programme.lang] ?? clinic.contacts.en,
    operated: true, newJoint: true, newHip: true,
  }, words, { name: mine.name, key: mine.key });
  addEventListener("hashchange", () => location.reload());
})();
