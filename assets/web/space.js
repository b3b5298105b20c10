// @ts-check
/* Pointing at a direction says its reason under the floor; arrow keys go round; a tap keeps it there. */

for (const figure of document.querySelectorAll("figure.limb")) {
  const floor = figure.querySelector("svg.space-floor");
  const said = figure.querySelector("p.said");
  const sectors = /** @type {SVGPathElement[]} */ ([...figure.querySelectorAll(".sector")]);
  const ways = /** @type {HTMLElement[]} */ ([...figure.querySelectorAll("li.way")]);
  if (!(floor instanceof SVGElement) || !(said instanceof HTMLElement) || sectors.length === 0) continue;
  let kept = "";
  said.hidden = false;
  said.textContent = "Point at a direction, or go round with the arrow keys.";

  /** @param {string} way */
  const lines = (way) => ways.filter((one) => one.dataset.way === way).map((one) => {
    const head = one.querySelector("summary")?.textContent ?? "";
    const why = [...one.querySelectorAll(".why")].map((line) => line.textContent ?? "").join(" ");
    return `${head.trim()}. ${why.trim()}`;
  });

  /** @param {string} way */
  const say = (way) => {
    for (const one of sectors) one.toggleAttribute("data-now", one.dataset.way === way);
    for (const one of ways) one.toggleAttribute("data-now", one.dataset.way === way);
    said.replaceChildren(...lines(way).map((line) => {
      const part = document.createElement("span");
      part.textContent = line;
      return part;
    }));
  };

  for (const sector of sectors) {
    const way = sector.dataset.way ?? "";
    sector.addEventListener("pointerenter", () => say(way));
    sector.addEventListener("click", () => { kept = way; say(way); });
  }
  floor.addEventListener("pointerleave", () => { if (kept) say(kept); });
  for (const line of ways) {
    const way = line.dataset.way ?? "";
    line.addEventListener("pointerenter", () => say(way));
    line.addEventListener("focusin", () => { kept = way; say(way); });
  }

  /* One stop for the keyboard: arrows go from direction to direction. */
  floor.setAttribute("tabindex", "0");
  floor.setAttribute("role", "application");
  floor.setAttribute("aria-roledescription", "floor");
  floor.addEventListener("focus", () => { if (!kept) kept = sectors[0].dataset.way ?? ""; say(kept); });
  floor.addEventListener("keydown", (event) => {
    const step = { ArrowRight: 1, ArrowDown: 1, ArrowLeft: -1, ArrowUp: -1 }[event.key];
    if (!step) return;
    event.preventDefault();
    const at = sectors.findIndex((one) => one.dataset.way === kept);
    kept = sectors[(at + step + sectors.length) % sectors.length].dataset.way ?? "";
    say(kept);
  });
}
