// Draws symbols with the encoder of the practice page and prints them as JSON: rows of 0 and 1 for each.
// `node draw.mjs grid` draws every version at every level, `node draw.mjs logs` the codes of invented logs.

import { readFileSync } from "node:fs";

const file = (path) => readFileSync(new URL(`../../${path}`, import.meta.url), "utf8");
const code = new Function(`${file("assets/practice/code.js")}${file("assets/practice/qr.js")}; return footroseCode;`)();
const SET = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ$*+-/";

function symbol(name, text, level) {
  const { size, version, dark } = code.qr(text, { level });
  const rows = Array.from({ length: size }, (_, y) => Array.from({ length: size }, (_, x) => (dark(x, y) ? 1 : 0)).join(""));
  return { name, text, level, version, rows };
}

let seed = 20261130;
const chance = (below) => {
  seed = (Math.imul(seed, 1664525) + 1013904223) >>> 0;
  return Math.floor((seed / 2 ** 32) * below);
};
const letters = (count) => Array.from({ length: count }, () => SET[chance(SET.length)]).join("");

function grid() {
  const all = [];
  for (const level of ["L", "M", "Q", "H"]) {
    for (let version = 1, length = 1; version <= 40; length += 1) {
      const text = letters(length);
      const drawn = code.qr(text, { level }).version;
      if (drawn < version) {
        // Longer in steps that grow with the version; every version is met.
        length += version;
        continue;
      }
      all.push(symbol(`version ${drawn}`, text, level));
      if (drawn < 6) all.push(symbol("bytes", `pain é ${"漢字".repeat(version)} ✓`, level));
      version = drawn + 1;
    }
  }
  return all;
}

function logs() {
  const vectors = JSON.parse(file("crates/exchange/tests/vectors.json"));
  const wanted = ["one day", "fourteen days, ten directions", "fourteen days, 48 directions", "by chance, fourteen days, 48 directions"];
  return vectors.filter(({ name }) => wanted.includes(name))
    .flatMap(({ name, log }) => ["M", "L"].map((level) => symbol(name, log, level)));
}

process.stdout.write(JSON.stringify(process.argv[2] === "grid" ? grid() : logs()));
