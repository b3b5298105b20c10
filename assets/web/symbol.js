// @ts-check
/* Draws a text as a code to scan, black on white whatever the screen, with the quiet zone of four modules around it. */

const NAMESPACE = "http://www.w3.org/2000/svg";
const QUIET = 4;

for (const place of /** @type {NodeListOf<HTMLElement>} */ (document.querySelectorAll(".symbol[data-text]"))) {
  // @ts-expect-error a script of the practice page, loaded before this module
  const { size, dark } = footroseCode.qr(place.dataset.text, { level: "M" });
  let path = "";
  for (let y = 0; y < size; y += 1) {
    for (let x = 0; x < size; x += 1) if (dark(x, y)) path += `M${x + QUIET} ${y + QUIET}h1v1h-1z`;
  }
  const svg = document.createElementNS(NAMESPACE, "svg");
  const side = size + 2 * QUIET;
  svg.setAttribute("viewBox", `0 0 ${side} ${side}`);
  svg.setAttribute("shape-rendering", "crispEdges");
  const ground = document.createElementNS(NAMESPACE, "rect");
  ground.setAttribute("width", String(side));
  ground.setAttribute("height", String(side));
  ground.setAttribute("fill", "#fff");
  const modules = document.createElementNS(NAMESPACE, "path");
  modules.setAttribute("d", path);
  modules.setAttribute("fill", "#000");
  svg.append(ground, modules);
  place.replaceChildren(svg);
}
