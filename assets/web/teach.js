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

/* Every tap is sent as it is made; what cannot be sent is said and tried again. */
const teach = /** @type {HTMLFormElement | null} */ (document.getElementById("teach"));
const saved = document.getElementById("saved");
/** @type {Map<string, URLSearchParams>} */
const unsent = new Map();
let tapped = 0;
let sending = false;

/** @param {Element} row */
function tap(row) {
  if (!teach) return;
  const body = new URLSearchParams();
  for (const name of ["form", "lesson"]) body.set(name, /** @type {HTMLInputElement} */ (teach.elements.namedItem(name)).value);
  tapped += 1;
  body.set("once", `${/** @type {HTMLInputElement} */ (teach.elements.namedItem("once")).value}-${Date.now()}-${tapped}`);
  let name = "";
  for (const field of row.querySelectorAll("input")) {
    if (field.type === "radio" ? field.checked : field.value !== "" && field.checkValidity()) body.set(field.name, field.value);
    if (field.type === "radio") name = field.name;
  }
  unsent.set(name, body);
  void send();
}

async function send() {
  if (sending) return;
  sending = true;
  for (let next = [...unsent][0]; next; next = [...unsent][0]) {
    const [name, body] = next;
    let known = false;
    try { known = (await fetch(teach?.dataset.taps ?? "", { method: "POST", body, redirect: "error", keepalive: true })).ok; } catch { /* Tried again below. */ }
    if (!known) {
      if (saved) { saved.textContent = "A tap could not be saved. It is tried again."; saved.classList.add("unsaved"); }
      setTimeout(() => { void send(); }, 3000);
      break;
    }
    if (unsent.get(name) === body) unsent.delete(name);
    if (saved && unsent.size === 0) { saved.textContent = "Every tap is saved."; saved.classList.remove("unsaved"); }
  }
  sending = false;
}
teach?.addEventListener("change", (event) => {
  const row = event.isTrusted ? /** @type {Element} */ (event.target).closest(".tap") : null;
  if (row) tap(row);
});

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
  // A lesson that goes on opens where it was left.
  const open = steps.findIndex((step) => [...step.querySelectorAll(".tap")].some((row) => !row.querySelector(":checked")));
  const begun = document.querySelector(".tap :checked") !== null;
  go(begun && !mend ? (open < 0 ? steps.length - 1 : open) : 0, false);
  if (mend) mend.scrollIntoView();
}
