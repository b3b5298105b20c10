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
/* What to ask next is worked out beside the page, which does not wait for it. */
const later = document.querySelector("[data-later]");
if (later instanceof HTMLElement) {
  const say = later.querySelector("p");
  if (say) say.textContent = "Being worked out; the page can be filled in meanwhile.";
  const answer = await fetch(later.dataset.later ?? "", { headers: { "x-footrose-quiet": "1" } }).catch(() => null);
  if (answer?.ok && !answer.redirected) {
    const piece = new DOMParser().parseFromString(await answer.text(), "text/html");
    later.replaceWith(...piece.body.childNodes);
  } else if (say) {
    say.textContent = "This could not be worked out now. Open the page again to try once more.";
    later.removeAttribute("aria-busy");
  }
}
