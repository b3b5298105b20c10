// A symbol as a webcam might take it of a telephone, and a page that reads such pictures. Synthetic: see
// validation/codes/README.md for what that leaves out.
// @ts-check
import { readFileSync } from "node:fs";
import { createServer } from "node:http";

const types = { js: "text/javascript", wasm: "application/wasm", png: "image/png" };

/**
 * Serves assets/web, and one folder of pictures, under the policy that the decoder needs and no other.
 * @param {string} [pictures]
 */
export async function site(pictures) {
  const asked = /** @type {string[]} */ ([]);
  const server = createServer((request, answer) => {
    const path = new URL(request.url ?? "/", "http://x").pathname;
    asked.push(path);
    answer.setHeader("Content-Security-Policy", "default-src 'none'; script-src 'self' 'wasm-unsafe-eval'; connect-src 'self'");
    if (path === "/") {
      answer.setHeader("Content-Type", "text/html");
      answer.end("<!doctype html><title>camera</title>");
      return;
    }
    try {
      const [, folder, name] = /^\/(web|pictures)\/([\w./-]+)$/.exec(path) ?? [];
      const from = folder === "pictures" ? `${pictures}/${name}` : new URL(`../assets/web/${name}`, import.meta.url);
      answer.setHeader("Content-Type", types[name.split(".").at(-1) ?? ""] ?? "application/octet-stream");
      answer.end(readFileSync(from));
    } catch {
      answer.writeHead(404).end();
    }
  });
  await new Promise((ready) => { server.listen(0, "127.0.0.1", () => ready(null)); });
  const { port } = /** @type {import("node:net").AddressInfo} */ (server.address());
  return { address: `http://127.0.0.1:${port}/`, asked, end: () => server.close() };
}

/** Chance that is the same every time. */
export function chance(seed) {
  let state = seed >>> 0;
  const next = () => {
    state = (state + 0x6d2b79f5) >>> 0;
    let mixed = Math.imul(state ^ (state >>> 15), state | 1);
    mixed ^= mixed + Math.imul(mixed ^ (mixed >>> 7), mixed | 61);
    return ((mixed ^ (mixed >>> 14)) >>> 0) / 2 ** 32;
  };
  return { next, normal: () => Math.sqrt(-2 * Math.log(1 - next())) * Math.cos(2 * Math.PI * next()) };
}

/* The projection that takes four corners of a unit square to four points, and its eight numbers solved for. */
function projection(points) {
  const [[x0, y0], [x1, y1], [x2, y2], [x3, y3]] = points;
  const [dx1, dx2, dy1, dy2] = [x1 - x2, x3 - x2, y1 - y2, y3 - y2];
  const [sx, sy] = [x0 - x1 + x2 - x3, y0 - y1 + y2 - y3];
  const det = dx1 * dy2 - dx2 * dy1;
  const g = (sx * dy2 - dx2 * sy) / det;
  const h = (dx1 * sy - sx * dy1) / det;
  return [x1 - x0 + g * x1, x3 - x0 + h * x3, x0, y1 - y0 + g * y1, y3 - y0 + h * y3, y0, g, h, 1];
}

function inverse([a, b, c, d, e, f, g, h, i]) {
  return [e * i - f * h, c * h - b * i, b * f - c * e, f * g - d * i, a * i - c * g, c * d - a * f, d * h - e * g, b * g - a * h, a * e - b * d];
}

/**
 * One grey picture: corners moved by up to 7 % of the width, blur of 0.3 module, noise of 8 grey levels.
 * @param {{ size: number, dark: (x: number, y: number) => boolean }} symbol
 * @param {number} perModule pixels
 * @param {ReturnType<typeof chance>} luck
 */
export function taken(symbol, perModule, luck) {
  const modules = symbol.size + 8;
  const side = modules * perModule;
  const margin = 0.1 * side;
  const width = Math.ceil(side + 2 * margin);
  const moved = [[0, 0], [side, 0], [side, side], [0, side]]
    .map((corner) => corner.map((at) => at + margin + (luck.next() * 2 - 1) * 0.07 * side));
  const [a, b, c, d, e, f, g, h, i] = inverse(projection(moved));
  const grey = (x, y) => {
    const w = g * x + h * y + i;
    const [mx, my] = [Math.floor(((a * x + b * y + c) / w) * modules) - 4, Math.floor(((d * x + e * y + f) / w) * modules) - 4];
    if (mx < -4 || my < -4 || mx >= modules - 4 || my >= modules - 4) return 120;
    const inside = mx >= 0 && my >= 0 && mx < symbol.size && my < symbol.size;
    return inside && symbol.dark(mx, my) ? 30 : 225;
  };
  // The area of a pixel as nine points, then the blur, along and across.
  let picture = new Float64Array(width * width);
  for (let y = 0; y < width; y += 1) for (let x = 0; x < width; x += 1) {
    let sum = 0;
    for (let part = 0; part < 9; part += 1) sum += grey(x + ((part % 3) + 0.5) / 3, y + (Math.floor(part / 3) + 0.5) / 3);
    picture[y * width + x] = sum / 9;
  }
  const reach = Math.ceil(perModule);
  const weights = Array.from({ length: 2 * reach + 1 }, (_, at) => Math.exp(-0.5 * ((at - reach) / (0.3 * perModule)) ** 2));
  const all = weights.reduce((sum, weight) => sum + weight, 0);
  const inside = (at) => Math.min(width - 1, Math.max(0, at));
  for (const along of [true, false]) {
    picture = picture.map((_, place) => {
      const [x, y] = [place % width, Math.floor(place / width)];
      const at = (step) => (along ? y * width + inside(x + step) : inside(y + step) * width + x);
      return weights.reduce((sum, weight, step) => sum + weight * picture[at(step - reach)], 0) / all;
    });
  }
  const bytes = Uint8ClampedArray.from(picture, (value) => value + luck.normal() * 8);
  return { width, bytes };
}
