// @ts-check
/* Entering findings: all red flags at one tick, the first thing to mend is gone to. */

const all = document.getElementById("flags.none");
if (all instanceof HTMLInputElement) {
  const flags = /** @type {HTMLInputElement[]} */ ([...document.querySelectorAll("input[name^='flag:']")]);
  all.addEventListener("change", () => {
    if (!all.checked) return;
    for (const one of flags) if (one.value === "no") one.checked = true;
  });
  for (const one of flags) {
    one.addEventListener("change", () => { if (one.value !== "no") all.checked = false; });
  }
}
document.querySelector(".findings .mend a")?.scrollIntoView({ block: "center" });
