// @ts-check
/* What every page has: unsaved forms are said, the screen locks, F9 blanks it, F8 lets it be wiped. */

const saved = document.getElementById("saved");
const allSaved = saved?.textContent ?? "";

/* Saved or not. */
for (const form of document.querySelectorAll("form[data-keeps]")) {
  form.addEventListener("input", () => {
    if (!saved) return;
    form.setAttribute("data-changed", "");
    saved.textContent = "Not saved yet.";
    saved.classList.add("unsaved");
  });
  form.addEventListener("submit", () => form.removeAttribute("data-changed"));
}
window.addEventListener("beforeunload", (event) => {
  if (document.querySelector("form[data-changed]")) event.preventDefault();
});
void allSaved;

/* A button that was pressed is not pressed twice; the server would store it once all the same. */
document.addEventListener("submit", (event) => {
  const button = /** @type {SubmitEvent} */ (event).submitter;
  if (button instanceof HTMLButtonElement) setTimeout(() => { button.disabled = true; }, 0);
});
window.addEventListener("pageshow", () => {
  for (const button of document.querySelectorAll("button[disabled]")) button.removeAttribute("disabled");
});

/* A page that is being worked out: look again. */
if (document.querySelector("[data-again]")) setTimeout(() => location.reload(), 1000);

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
    timer = setTimeout(() => { lock.submit(); }, after);
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
