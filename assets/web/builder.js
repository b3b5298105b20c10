// @ts-check
/* The builder answers the hand: a change of any word, a drag on the floor, a turn of the figure. One
   question is on its way at a time; of those that wait, the last one counts. Without this module the form
   asks and the links on the floor lead to the same answers. */

const form = /** @type {HTMLFormElement} */ (document.getElementById("builder"));
const where = /** @type {HTMLElement} */ (document.querySelector("[data-movement]"));
const token = /** @type {HTMLFormElement} */ (document.getElementById("token"));
const cm = /** @type {HTMLInputElement} */ (document.getElementById("cm"));
const to = /** @type {HTMLSelectElement} */ (document.getElementById("to"));
const put = document.getElementById("put");
const part = (/** @type {string} */ id) => /** @type {HTMLElement} */ (document.getElementById(id));
const floorPart = part("floor-part");
const around = part("around");
const askAround = document.createElement("p");
askAround.innerHTML = '<a class="action second" id="ask-around" href="">One step up, one back, to the side, and the bridge</a>';
const [nearest, furthest] = [Number(cm.min), Number(cm.max)];

form.querySelector("button.plain")?.setAttribute("hidden", "");

/* Asking. */
let drag = false;
let under = false;
/** @type {{ floor: boolean, since: number } | null} */
let waits = null;

/** @param {{ floor?: boolean }} [of] */
function ask({ floor = false } = {}) {
  waits = { floor: floor || Boolean(waits?.floor), since: waits?.since ?? performance.now() };
  if (!under) void answer();
}

async function answer() {
  under = true;
  while (waits) {
    const { floor, since } = waits;
    waits = null;
    const body = new URLSearchParams(/** @type {any} */ (new FormData(form)));
    for (const [name, value] of new FormData(token)) body.append(name, String(value));
    if (floor) body.append("floor", "1");
    // What takes longer is looked into when the hand lets go.
    if (drag) body.append("at_once", "1");
    try {
      const got = await fetch(where.dataset.movement ?? "", { method: "POST", body, redirect: "error" });
      if (!got.ok) throw new Error(String(got.status));
      show(await got.json(), floor);
      performance.measure("footrose-answer", { start: since, end: performance.now() });
      requestAnimationFrame(() => performance.measure("footrose-shown", { start: since, end: performance.now() }));
    } catch {
      // Locked or signed out: the page is asked again and leads to where one signs in.
      location.reload();
      break;
    }
  }
  under = false;
}

/**
 * @param {any} got
 * @param {boolean} floor
 */
function show(got, floor) {
  const sentence = part("sentence");
  if (got.why) {
    sentence.textContent = got.why;
    for (const id of ["verdict", "bars", "figures"]) part(id).replaceChildren();
  } else {
    if (sentence.textContent !== got.sentence) {
      sentence.textContent = got.sentence;
      // What lies beside another movement is not what lies beside this one.
      around.replaceChildren(askAround);
    }
    for (const id of ["verdict", "bars", "figures"]) part(id).innerHTML = got[id] ?? "";
    const field = put?.querySelector("[name=sentence]");
    if (field instanceof HTMLInputElement) field.value = got.sentence;
  }
  if (put) put.hidden = !got.permitted;
  if (got.of_use) ofUse(got.of_use);
  if (got.directions) {
    for (const [value, words] of got.directions) {
      const option = to.querySelector(`option[value="${value}"]`);
      if (option && option.textContent !== words) option.textContent = words;
    }
  }
  if (got.floor && floor && !drag) {
    const held = document.activeElement?.id === "handle";
    floorPart.innerHTML = got.floor;
    if (held) document.getElementById("handle")?.focus();
  }
  if (got.query) {
    history.replaceState(null, "", `?${got.query}`);
    for (const link of [document.getElementById("ask-around"), askAround.querySelector("a")]) {
      link?.setAttribute("href", `?${got.query}&around=1#around`);
    }
  }
}

/* Words that are of no use for what is chosen are not shown. */
/** @param {string[]} now */
function ofUse(now) {
  for (const one of form.querySelectorAll("[data-of-use]")) {
    const of = (one.getAttribute("data-of-use") ?? "").split(" ");
    /** @type {HTMLElement} */ (one).hidden = !of.some((word) => now.includes(word));
  }
}

form.addEventListener("submit", (event) => {
  event.preventDefault();
  const button = /** @type {SubmitEvent} */ (event).submitter;
  const step = button instanceof HTMLButtonElement ? Number(button.value) || 0 : 0;
  setTimeout(() => { if (button instanceof HTMLButtonElement) button.disabled = false; }, 1);
  if (step) far(Number(cm.value) + step);
  ask({ floor: true });
});
form.addEventListener("change", () => ask({ floor: true }));
cm.addEventListener("input", () => { if (cm.checkValidity()) { far(Number(cm.value)); ask(); } });
document.getElementById("view")?.addEventListener("input", () => ask());

/* The floor. */
const floorNow = () => /** @type {SVGSVGElement | null} */ (/** @type {unknown} */ (document.getElementById("floor")));
/** @param {Element} floor @param {string} name */
const figure = (floor, name) => Number(floor.getAttribute(`data-${name}`));

/**
 * Puts the distance into field, handle and line; the answer comes after.
 * @param {number} wanted
 */
function far(wanted) {
  const now = Math.min(furthest, Math.max(nearest, Math.round(wanted)));
  if (document.activeElement !== cm || Number(cm.value) !== now) cm.value = String(now);
  const floor = floorNow();
  const handle = document.getElementById("handle");
  if (!floor || !handle) return;
  const turned = (Number(to.value) * Math.PI) / 180;
  const long = (now / 100) * figure(floor, "scale");
  const [x, y] = [figure(floor, "x") + Math.sin(turned) * long, figure(floor, "y") - Math.cos(turned) * long];
  handle.setAttribute("transform", `translate(${x.toFixed(1)} ${y.toFixed(1)})`);
  const words = to.selectedOptions[0]?.textContent?.split(":")[0].toLowerCase() ?? "";
  handle.setAttribute("aria-valuenow", String(now));
  handle.setAttribute("aria-valuetext", `${now} cm ${words}`);
  const line = floor.querySelector(".way-out");
  line?.setAttribute("x2", x.toFixed(1));
  line?.setAttribute("y2", y.toFixed(1));
}

/** Forward and right of the centre, metres. @param {PointerEvent} event @param {SVGSVGElement} floor */
function place(event, floor) {
  const matrix = floor.getScreenCTM();
  if (!matrix) return { forward: 0, right: 0 };
  const at = new DOMPoint(event.clientX, event.clientY).matrixTransform(matrix.inverse());
  const scale = figure(floor, "scale");
  return { forward: (figure(floor, "y") - at.y) / scale, right: (at.x - figure(floor, "x")) / scale };
}

floorPart.addEventListener("pointerdown", (event) => {
  const target = /** @type {Element} */ (event.target);
  if (!target.closest(".handle") || event.button !== 0) return;
  drag = true;
  floorPart.setPointerCapture(event.pointerId);
  event.preventDefault();
  /** @type {any} */ (document.getElementById("handle"))?.focus();
});
floorPart.addEventListener("pointermove", (event) => {
  const floor = floorNow();
  if (!drag || !floor) return;
  const { forward, right } = place(event, floor);
  const turned = (Number(to.value) * Math.PI) / 180;
  const before = cm.value;
  far((forward * Math.cos(turned) + right * Math.sin(turned)) * 100);
  if (cm.value !== before) ask();
});
for (const end of ["pointerup", "pointercancel"]) {
  floorPart.addEventListener(end, () => {
    if (!drag) return;
    drag = false;
    ask({ floor: true });
  });
}
/* A tap on a direction chooses it. */
floorPart.addEventListener("click", (event) => {
  const way = /** @type {Element} */ (event.target).closest("a.way");
  if (!way) return;
  event.preventDefault();
  to.value = way.getAttribute("data-to") ?? to.value;
  ask({ floor: true });
});
floorPart.addEventListener("keydown", (event) => {
  if (!(event.target instanceof Element) || event.target.id !== "handle") return;
  const by = { ArrowUp: 1, ArrowRight: 1, ArrowDown: -1, ArrowLeft: -1, PageUp: 5, PageDown: -5 }[event.key];
  const at = { Home: nearest, End: furthest }[event.key];
  if (by === undefined && at === undefined) return;
  event.preventDefault();
  far(at ?? Number(cm.value) + (by ?? 0));
  ask();
});

/* Neighbours and bridge take a moment: asked where one stands, without another page. */
around.addEventListener("click", async (event) => {
  const link = /** @type {Element} */ (event.target).closest("#ask-around");
  if (!(link instanceof HTMLAnchorElement)) return;
  event.preventDefault();
  const say = document.createElement("p");
  say.setAttribute("role", "status");
  say.textContent = "Computing what lies beside it …";
  around.append(say);
  const got = await fetch(link.href);
  const page = new DOMParser().parseFromString(await got.text(), "text/html");
  const found = page.getElementById("around");
  // Meanwhile another movement may have been chosen.
  if (found && say.isConnected) around.replaceChildren(...found.childNodes);
});

/* At the beginning. */
ofUse((form.dataset.now ?? "").split(" "));
