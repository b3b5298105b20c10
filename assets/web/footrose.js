// @ts-check
/* What every page has: what is typed stays, the screen locks, F9 blanks it, F8 lets it be wiped. */

import { flush } from "./drafts.js";

/* A button that was pressed is not pressed twice; the server would store it once all the same. */
document.addEventListener("submit", (event) => {
  if (event.defaultPrevented) return;
  const button = /** @type {SubmitEvent} */ (event).submitter;
  if (!(button instanceof HTMLButtonElement)) return;
  setTimeout(() => { button.disabled = true; }, 0);
  /* What is saved as a file leaves the page as it is. */
  if (button.hasAttribute("data-file")) setTimeout(() => { button.disabled = false; }, 2000);
});
window.addEventListener("pageshow", () => {
  for (const button of document.querySelectorAll("button[disabled]")) button.removeAttribute("disabled");
});

/* A page that is being worked out: how far it is, each second, and the page itself when it is there. */
async function howFar() {
  const far = document.querySelector("[data-again] .far");
  if (!far) return;
  const answer = await fetch(location.href, { headers: { accept: "text/html", "x-footrose-quiet": "1" } }).catch(() => null);
  if (answer?.status === 204 || answer?.redirected) return location.reload();
  if (answer?.ok) {
    const piece = new DOMParser().parseFromString(await answer.text(), "text/html");
    far.replaceChildren(...piece.body.childNodes);
  }
  setTimeout(howFar, 1000);
}
setTimeout(howFar, 500);

/* A list that is still being read after an unlock: how far it is, each second, and the whole list at the
   end, unless somebody is in the middle of it: nothing moves under a hand. */
async function readOn() {
  const here = document.getElementById("today");
  if (!here?.querySelector("[data-reading]")) return;
  const answer = await fetch(location.href, { headers: { accept: "text/html", "x-footrose-quiet": "1" } }).catch(() => null);
  if (answer?.redirected) location.reload();
  const page = answer?.ok ? new DOMParser().parseFromString(await answer.text(), "text/html") : null;
  const there = page?.getElementById("today");
  const more = there?.querySelector("[data-reading]");
  if (there && !more && !here.contains(document.activeElement)) here.replaceChildren(...there.childNodes);
  else if (there && !here.querySelector(".attention")) here.replaceChildren(...there.childNodes);
  else if (there && more) here.querySelector("[data-reading] .far")?.replaceWith(more.querySelector(".far") ?? "");
  setTimeout(readOn, 1000);
}
setTimeout(readOn, 1000);

/* On a device of the network: when it is sent away, what it shows goes too. */
if (location.protocol === "https:") {
  setInterval(async () => {
    try {
      const still = await fetch("/still", { headers: { "x-footrose-quiet": "1" }, redirect: "manual" });
      if (still.status === 403) location.replace("/");
    } catch {
      /* Out of reach for a moment: asked again. */
    }
  }, 5000);
}

/* The lock: the server locks by its own clock; the page only does not go on showing what it showed. */
const lock = document.getElementById("lock");
const after = Number(document.body.dataset.lockAfter) * 1000;
if (lock instanceof HTMLFormElement && after > 0) {
  let timer = 0;
  const begin = () => {
    clearTimeout(timer);
    timer = setTimeout(() => { void flush().then(() => lock.submit()); }, after);
  };
  for (const touch of ["pointerdown", "keydown", "wheel"]) window.addEventListener(touch, begin, { passive: true });
  begin();
}

/**
 * Covers everything.
 * @param {string} kind
 * @param {string} words
 */
function cover(kind, words) {
  const dialog = document.createElement("dialog");
  dialog.className = `cover ${kind}`;
  dialog.setAttribute("aria-label", words);
  const say = document.createElement("p");
  say.textContent = words;
  dialog.append(say);
  document.body.append(dialog);
  dialog.addEventListener("close", () => dialog.remove());
  dialog.showModal();
  return { dialog, say };
}

/* Blank until a key or a touch. */
function blank() {
  const { dialog } = cover("blank", "The screen is blank. Press any key.");
  const end = () => dialog.close();
  setTimeout(() => {
    dialog.addEventListener("pointerdown", end);
    dialog.addEventListener("keydown", end);
  }, 150);
}

/* Touches do nothing for twenty seconds; Escape ends it. */
function clean() {
  let left = 20;
  const { dialog, say } = cover("clean", "");
  const tick = () => {
    say.textContent = `Wipe the screen now: touches do nothing for ${left} seconds. Escape ends it.`;
    if (left <= 0) dialog.close();
    left -= 1;
  };
  tick();
  const timer = setInterval(tick, 1000);
  dialog.addEventListener("close", () => clearInterval(timer));
}

for (const [id, act] of /** @type {[string, () => void][]} */ ([["blank", blank], ["clean", clean]])) {
  const button = document.getElementById(id);
  if (button) {
    button.hidden = false;
    button.addEventListener("click", act);
  }
}
window.addEventListener("keydown", (event) => {
  if (document.querySelector("dialog[open]") || !document.getElementById("blank")) return;
  if (event.key === "F9") { event.preventDefault(); blank(); }
  if (event.key === "F8") { event.preventDefault(); clean(); }
});
