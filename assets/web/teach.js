// @ts-check
/* Teaching one step at a time, and the pace: out, hold, back, still. The circle moves only where motion
   is welcome; the words say the same. Without this module every step stands under the other. */

const steps = /** @type {HTMLElement[]} */ ([...document.querySelectorAll(".step")]);
const pager = document.querySelector(".pager");
const where = document.getElementById("where");
const back = /** @type {HTMLButtonElement | null} */ (document.getElementById("back"));
const next = /** @type {HTMLButtonElement | null} */ (document.getElementById("next"));
let at = 0;

/** @param {number} to @param {boolean} [move] */
function go(to, move = true) {
  stop();
  at = Math.min(steps.length - 1, Math.max(0, to));
  steps.forEach((step, place) => { step.hidden = place !== at; });
  if (where) where.textContent = `${at + 1} of ${steps.length}`;
  if (back) back.style.visibility = at === 0 ? "hidden" : "visible";
  if (next) next.hidden = at === steps.length - 1;
  const head = steps[at]?.querySelector("h2");
  if (move && head) {
    head.setAttribute("tabindex", "-1");
    head.focus();
    head.scrollIntoView({ block: "start" });
  }
}
back?.addEventListener("click", () => go(at - 1));
next?.addEventListener("click", () => go(at + 1));

/* Pain is asked only where it hurt. */
function pains() {
  for (const row of document.querySelectorAll(".tap")) {
    const hurt = row.querySelector("input[value=hurt]");
    const pain = row.querySelector(".pain");
    if (pain instanceof HTMLElement && hurt instanceof HTMLInputElement) pain.hidden = !hurt.checked;
  }
}
document.getElementById("teach")?.addEventListener("change", pains);
pains();

/* The pace. */
const still = matchMedia("(prefers-reduced-motion: reduce)");
/** @type {(() => void) | null} */
let ends = null;
function stop() {
  ends?.();
  ends = null;
}

/** @param {HTMLElement} step @param {HTMLButtonElement} button */
function pace(step, button) {
  const floor = step.querySelector(".teaching");
  const say = step.querySelector(".say");
  const mover = floor?.querySelector(".mover");
  if (!floor || !say || !mover) return;
  const ways = JSON.parse(floor.getAttribute("data-ways") ?? "[]");
  const times = Number(floor.getAttribute("data-repetitions")) || 1;
  const [x, y] = ["x", "y"].map((name) => Number(floor.getAttribute(`data-${name}`)));
  const plan = ways.flatMap((/** @type {any} */ way) =>
    Array.from({ length: times }, (_, time) => [
      { way, words: `Out, ${way.words}${times > 1 ? `, ${time + 1} of ${times}` : ""}`, s: way.out, from: 0, to: 1 },
      { way, words: "Hold", s: way.hold, from: 1, to: 1 },
      { way, words: "Back to the middle", s: way.back, from: 1, to: 0 },
      { way, words: "Stand still", s: way.settle, from: 0, to: 0 },
    ]).flat()).filter((/** @type {any} */ one) => one.s > 0);
  let place = 0;
  let begun = performance.now();
  let said = "";
  let frame = 0;
  const tick = (/** @type {number} */ now) => {
    const one = plan[place];
    if (!one) { finish("Done: change legs, or go on."); return; }
    const gone = (now - begun) / 1000;
    const share = Math.min(1, gone / one.s);
    const count = `${one.words}: ${Math.max(1, Math.ceil(one.s - gone))}`;
    if (count !== said) {
      said = count;
      say.textContent = count;
      for (const row of step.querySelectorAll(".tap")) {
        row.toggleAttribute("data-now", row.getAttribute("data-way") === one.way.way);
      }
    }
    const along = still.matches ? Math.round(Math.max(one.from, one.to)) : one.from + (one.to - one.from) * share;
    mover.setAttribute("cx", String(x + (one.way.x - x) * along));
    mover.setAttribute("cy", String(y + (one.way.y - y) * along));
    mover.setAttribute("visibility", "visible");
    if (gone >= one.s) { place += 1; begun = now; }
    frame = requestAnimationFrame(tick);
  };
  /** @param {string} words */
  const finish = (words) => {
    cancelAnimationFrame(frame);
    mover.setAttribute("visibility", "hidden");
    say.textContent = words;
    button.textContent = "Start the pace";
    for (const row of step.querySelectorAll("[data-now]")) row.removeAttribute("data-now");
    ends = null;
  };
  button.textContent = "Pause the pace";
  frame = requestAnimationFrame(tick);
  ends = () => finish("");
}

for (const box of document.querySelectorAll(".pace")) {
  /** @type {HTMLElement} */ (box).hidden = false;
  const button = box.querySelector("button");
  const step = box.closest(".step");
  button?.addEventListener("click", () => {
    if (ends) stop();
    else if (step instanceof HTMLElement) pace(step, button);
  });
}
for (const plain of document.querySelectorAll(".plain-pace")) /** @type {HTMLElement} */ (plain).hidden = true;

if (pager instanceof HTMLElement && steps.length > 1) {
  pager.hidden = false;
  const mend = document.querySelector(".mend");
  go(0, false);
  if (mend) mend.scrollIntoView();
}
