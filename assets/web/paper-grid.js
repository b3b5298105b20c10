// @ts-check
/* The paper grid by tapping: rings on a floor in the place of a list, and one tap that says a day went as the day
   before. Without this module the list stands there and everything can be entered. */

const form = document.getElementById("paper-grid");
const template = document.getElementById("grid-floors");
const days = /** @type {HTMLElement[]} */ ([...document.querySelectorAll(".grid-day")]);

/** The fields of a day by what comes after its date. @param {HTMLElement} day */
const fields = (day) => new Map(
  /** @type {(HTMLInputElement | HTMLSelectElement)[]} */ ([...day.querySelectorAll("select, input")])
    .filter((one) => one.type !== "radio")
    .map((one) => [one.name.replace(day.dataset.day ?? "", ""), one]));
/** @param {HTMLElement} day */
const radios = (day) => /** @type {HTMLInputElement[]} */ ([...day.querySelectorAll("input[type=radio]")]);

/** What the form is told of a tap, so that it is kept as what is typed is. @param {Element} field */
const told = (field) => field.dispatchEvent(new Event("change", { bubbles: true }));

/* What is marked stands beside the day, and how many days are said at the end. */
function say() {
  for (const day of days) {
    const marks = [...day.querySelectorAll("select[data-ring]")].filter((one) => /** @type {HTMLSelectElement} */ (one).value !== "");
    const place = day.querySelector(".marks");
    if (place) place.textContent = marks.length === 0 ? "" : `: ${marks.length}`;
  }
  const said = days.filter((day) => radios(day).some((one) => one.checked)).length;
  const count = document.getElementById("grid-count");
  if (count) count.textContent = `${said} of ${days.length} days answered`;
}
form?.addEventListener("change", say);

/* The same as the day before, marks and all; but for a stop sign, which happened once. */
days.forEach((day, place) => {
  const button = day.querySelector("button.same");
  const before = days[place - 1];
  if (!(button instanceof HTMLButtonElement) || !before) return;
  button.hidden = false;
  button.addEventListener("click", () => {
    const from = fields(before);
    for (const [name, field] of fields(day)) field.value = name === "stop:" ? "" : (from.get(name)?.value ?? "");
    const chosen = radios(before).find((one) => one.checked)?.value;
    for (const one of radios(day)) one.checked = one.value === chosen;
    told(button);
    draw(day);
  });
});

/** Writes what is marked into the rings of an open day. @param {HTMLElement} day */
function draw(day) {
  for (const ring of day.querySelectorAll(".ring")) {
    const field = /** @type {HTMLSelectElement | null} */ (day.querySelector(`select[data-ring="${ring.getAttribute("data-ring")}"]`));
    const words = field?.selectedOptions[0]?.textContent ?? "";
    const value = field?.value ?? "";
    const text = ring.querySelector("text");
    if (text) text.textContent = value === "hurt" ? "×" : value === "out" ? "–" : value;
    ring.toggleAttribute("data-marked", value !== "");
    ring.setAttribute("aria-label", `${ring.getAttribute("data-words")}: ${words}`);
  }
}

/** Puts the floors into a day and listens to them. @param {HTMLElement} day */
function open(day) {
  const here = day.querySelector(".floors-here");
  if (!here || here.childElementCount > 0 || !(template instanceof HTMLTemplateElement)) return;
  here.append(template.content.cloneNode(true));
  day.classList.add("tapped");
  const pad = /** @type {HTMLElement} */ (here.querySelector(".pad"));
  const about = pad.querySelector(".about");
  /** @type {Element | null} */
  let now = null;
  /** @param {Element} ring */
  const choose = (ring) => {
    now = ring;
    for (const one of here.querySelectorAll(".ring")) one.toggleAttribute("data-now", one === ring);
    if (about) about.textContent = `${ring.getAttribute("data-words")}:`;
    pad.hidden = false;
    /** @type {HTMLElement | null} */ (pad.querySelector("button"))?.focus({ preventScroll: true });
    pad.scrollIntoView({ block: "nearest" });
  };
  for (const ring of here.querySelectorAll(".ring")) {
    ring.addEventListener("click", () => choose(ring));
    ring.addEventListener("keydown", (event) => {
      if (!["Enter", " "].includes(/** @type {KeyboardEvent} */ (event).key)) return;
      event.preventDefault();
      choose(ring);
    });
  }
  for (const button of /** @type {NodeListOf<HTMLElement>} */ (pad.querySelectorAll("button"))) {
    button.addEventListener("click", () => {
      const field = /** @type {HTMLSelectElement | null} */ (day.querySelector(`select[data-ring="${now?.getAttribute("data-ring")}"]`));
      if (!field) return;
      field.value = button.dataset.mark ?? "";
      told(field);
      draw(day);
      pad.hidden = true;
      now?.removeAttribute("data-now");
      /** @type {SVGElement | null} */ (now)?.focus({ preventScroll: true });
    });
  }
  draw(day);
}
for (const day of days) {
  const details = day.querySelector("details");
  details?.addEventListener("toggle", () => { if (details.open) open(day); });
  if (details?.open) open(day);
}
say();
