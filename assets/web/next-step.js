// @ts-check
/* What the rules propose is worked out beside the home log, which does not wait for it. */

const later = document.querySelector(".next-step[data-later]");
if (later instanceof HTMLElement) {
  const say = later.querySelector("p");
  if (say) say.textContent = "Being worked out; the log can be read meanwhile.";
  const answer = await fetch(later.dataset.later ?? "", { headers: { accept: "text/plain", "x-footrose-quiet": "1" } }).catch(() => null);
  if (answer?.ok && !answer.redirected) {
    const piece = new DOMParser().parseFromString(await answer.text(), "text/html");
    later.replaceWith(...piece.body.childNodes);
  } else if (say) {
    say.textContent = "This could not be worked out now. Open the page again to try once more.";
    later.removeAttribute("aria-busy");
  }
}
