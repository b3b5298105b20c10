// @ts-check
/* What is typed stays: a form that keeps sends what is typed to the server's memory while it is typed, and
   shows it again after a lock, a reload, another page or a change of user. Nothing is kept in the browser.
   Without this module the browser asks before a form with something unsaved is left. */

const saved = document.getElementById("saved");
const allSaved = saved?.textContent ?? "";
const forms = /** @type {HTMLFormElement[]} */ ([...document.querySelectorAll("form[data-keeps]")]);
const waiting = new Map();
/** @type {Set<Promise<unknown>>} */
const under = new Set();
/** Whether this page is what came back because something is to be mended. */
const refused = /** @type {any} */ (performance.getEntriesByType("navigation")[0])?.responseStatus === 422;
/** Milliseconds after the last key before it is sent. */
const PAUSE = 350;

/** @param {HTMLFormElement} form */
const address = (form) => new URL(form.action).pathname + (form.dataset.keeps ? `#${form.dataset.keeps}` : "");
/** What stands in a form; a passphrase is never kept. @param {HTMLFormElement} form */
function typedIn(form) {
  const body = new URLSearchParams(/** @type {any} */ (new FormData(form)));
  for (const secret of form.querySelectorAll("input[type=password]")) body.delete(/** @type {HTMLInputElement} */ (secret).name);
  body.append("draft-to", address(form));
  return body;
}

function say() {
  if (!saved) return;
  const open = forms.some((form) => form.hasAttribute("data-changed"));
  saved.textContent = open ? "Not saved yet." : allSaved;
  saved.classList.toggle("unsaved", open);
}

/** @param {string} path @param {URLSearchParams} body */
async function send(path, body) {
  const asked = fetch(path, { method: "POST", body, redirect: "error", keepalive: true });
  under.add(asked);
  try { return (await asked).ok; } catch { return false; } finally { under.delete(asked); }
}

/** @param {HTMLFormElement} form */
async function keep(form) {
  clearTimeout(waiting.get(form));
  waiting.delete(form);
  const known = await send("/draft", typedIn(form));
  form.toggleAttribute("data-kept", known && !waiting.has(form));
}

/** Sends at once whatever waits. */
export async function flush() {
  for (const form of [...waiting.keys()]) void keep(form);
  await Promise.allSettled([...under]);
}

/** @param {HTMLFormElement} form @param {[string, string][]} pairs */
function fill(form, pairs) {
  /** @type {Map<string, string[]>} */
  const typed = new Map();
  for (const [name, value] of pairs) typed.set(name, [...(typed.get(name) ?? []), value]);
  const has = (/** @type {string} */ name, /** @type {string} */ value) => typed.get(name)?.includes(value) ?? false;
  let differs = false;
  for (const field of form.elements) {
    if (field instanceof HTMLInputElement && ["radio", "checkbox"].includes(field.type)) {
      const now = has(field.name, field.value);
      if (field.checked === now) continue;
      field.checked = now;
      differs = true;
    } else if (field instanceof HTMLInputElement || field instanceof HTMLTextAreaElement || field instanceof HTMLSelectElement) {
      const given = typed.get(field.name)?.[0];
      if (!field.name || field.name === "form" || field.type === "password" || given === undefined || field.value === given) continue;
      field.value = given;
      if (field.type === "hidden") continue;
      differs = true;
    } else continue;
    const folded = field.closest("details");
    if (folded) folded.open = true;
  }
  return differs;
}

/** @param {HTMLFormElement} form */
function told(form) {
  const note = document.createElement("div");
  note.className = "kept-note";
  note.setAttribute("role", "status");
  const words = document.createElement("p");
  words.textContent = "What you typed here before is still here. It is not saved yet.";
  const away = document.createElement("button");
  away.type = "button";
  away.textContent = "Throw it away";
  away.addEventListener("click", async () => {
    form.removeAttribute("data-changed");
    await send("/draft/drop", typedIn(form));
    location.reload();
  });
  note.append(words, away);
  form.prepend(note);
}

/** @param {HTMLFormElement} form */
function changed(form) {
  form.setAttribute("data-changed", "");
  form.removeAttribute("data-kept");
  clearTimeout(waiting.get(form));
  waiting.set(form, setTimeout(() => { void keep(form); }, PAUSE));
  say();
}

/** @param {HTMLFormElement} form */
async function begin(form) {
  form.addEventListener("input", (event) => { if (event.isTrusted || !form.hasAttribute("data-filling")) changed(form); });
  // What is to be mended was typed and is not saved.
  if (refused && location.pathname === new URL(form.action).pathname) { changed(form); return; }
  try {
    const got = await fetch(`/draft?to=${encodeURIComponent(address(form))}`, { headers: { "x-footrose-quiet": "1" }, redirect: "error" });
    const pairs = got.ok ? await got.json() : [];
    if (pairs.length === 0 || form.hasAttribute("data-changed")) return;
    if (!fill(form, pairs)) return;
    form.setAttribute("data-changed", "");
    form.setAttribute("data-kept", "");
    form.setAttribute("data-filling", "");
    form.dispatchEvent(new Event("input", { bubbles: true }));
    form.dispatchEvent(new Event("change", { bubbles: true }));
    form.removeAttribute("data-filling");
    told(form);
    say();
  } catch { /* Locked or signed out: the next request says so. */ }
}
for (const form of forms) void begin(form);
if (refused) document.querySelector(".mend[role=alert]")?.scrollIntoView({ block: "center" });

/* What waits is sent before anything else is: a lock would come first otherwise. */
document.addEventListener("submit", (event) => {
  const form = /** @type {HTMLFormElement} */ (event.target);
  if (form.matches("[data-keeps]")) {
    clearTimeout(waiting.get(form));
    waiting.delete(form);
    form.removeAttribute("data-changed");
  }
  if ((waiting.size === 0 && under.size === 0) || form.method === "get" || event.defaultPrevented) return;
  event.preventDefault();
  const button = /** @type {SubmitEvent} */ (event).submitter;
  void flush().then(() => form.requestSubmit(button instanceof HTMLButtonElement ? button : null));
});
window.addEventListener("pagehide", () => { for (const form of [...waiting.keys()]) void keep(form); });
/* Only what the server does not have yet is worth a question. */
window.addEventListener("beforeunload", (event) => {
  if (forms.some((form) => form.hasAttribute("data-changed") && !form.hasAttribute("data-kept") && !waiting.has(form))) event.preventDefault();
});
