// @ts-check
/* Guided entry of trials: the score while typing, the next try focused by Enter, an empty limb stays quiet. */

const form = document.querySelector("form.trials");
if (form instanceof HTMLFormElement && form.dataset.score) {
  const address = form.dataset.score;
  let waiting = 0;
  let asked = 0;

  const ask = async () => {
    const mine = ++asked;
    const body = new URLSearchParams();
    for (const [name, value] of new FormData(form)) if (typeof value === "string") body.append(name, value);
    const answer = await fetch(address, { method: "POST", body });
    if (!answer.ok || mine !== asked) return;
    /** @type {Record<string, string | null>} */
    const scores = await answer.json();
    for (const cell of form.querySelectorAll("[data-cell]")) {
      const output = cell.querySelector("output");
      const key = cell.getAttribute("data-cell") ?? "";
      const said = scores[key] ?? "";
      if (output && output.textContent !== said) output.textContent = said;
    }
  };
  form.addEventListener("input", () => {
    clearTimeout(waiting);
    waiting = setTimeout(() => { void ask(); }, 200);
  });

  /* One empty try at a time: the next shows when the last one is filled. */
  const reveal = () => {
    for (const cell of form.querySelectorAll("[data-cell]")) {
      let empty = 0;
      for (const slot of cell.querySelectorAll(".slot")) {
        const fields = [...slot.querySelectorAll("input, select")];
        const blank = fields.every((one) => (one instanceof HTMLInputElement || one instanceof HTMLSelectElement) && one.value === "");
        if (slot instanceof HTMLElement) slot.hidden = blank && empty > 0;
        if (blank) empty += 1;
      }
    }
  };
  form.addEventListener("input", reveal);
  form.addEventListener("change", reveal);
  reveal();

  /* Enter goes to the next try; the last one goes to the button. */
  const tries = [...form.querySelectorAll("input.big")];
  for (const [place, one] of tries.entries()) {
    one.addEventListener("keydown", (event) => {
      if (!(event instanceof KeyboardEvent) || event.key !== "Enter") return;
      event.preventDefault();
      const next = tries.slice(place + 1).find((other) => !other.closest("[hidden]")) ?? form.querySelector("button[type=submit]");
      if (next instanceof HTMLElement) next.focus();
    });
  }
  /* A try that does not count needs no number. */
  form.addEventListener("change", (event) => {
    const chosen = event.target;
    if (!(chosen instanceof HTMLSelectElement) || !chosen.name.startsWith("r.") || chosen.value === "") return;
    const own = chosen.parentElement?.querySelector("input.big");
    const place = own ? tries.indexOf(own) : -1;
    const next = tries.slice(place + 1).find((other) => !other.closest("[hidden]"));
    if (place >= 0 && next instanceof HTMLElement) next.focus();
  });
  const first = tries.find((one) => one instanceof HTMLInputElement && one.value === "");
  if (first instanceof HTMLElement && !document.querySelector(".mend")) first.focus({ preventScroll: true });
}
