// The clinic's camera reads the symbol of the practice page: in a real browser, with nothing asked of anywhere else.
// @ts-check
import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import { after, before, test } from "node:test";
import { chance, site, taken } from "../camera.mjs";
import { browser, windowOf } from "../harness.mjs";

const file = (path) => readFileSync(new URL(`../../${path}`, import.meta.url), "utf8");
const code = new Function(`${file("assets/practice/code.js")}${file("assets/practice/qr.js")}; return footroseCode;`)();
const vectors = JSON.parse(file("crates/exchange/tests/vectors.json"));

/** @type {import("playwright-core").Browser} */
let chromium;
/** @type {Awaited<ReturnType<typeof site>>} */
let pages;
before(async () => {
  chromium = await browser();
  pages = await site();
});
after(async () => {
  await chromium.close();
  pages.end();
});

/** Reads grey pictures in the page, one after the other. */
function readAll(page, pictures) {
  return page.evaluate(async (all) => {
    const { readFrame } = await import("/web/camera-code.js");
    const out = [];
    for (const { width, bytes } of all) {
      const grey = Uint8Array.from(atob(bytes), (letter) => letter.charCodeAt(0));
      const image = new ImageData(width, width);
      grey.forEach((value, at) => image.data.set([value, value, value, 255], at * 4));
      out.push(await readFrame(image));
    }
    return out;
  }, pictures.map(({ width, bytes }) => ({ width, bytes: Buffer.from(bytes).toString("base64") })));
}

test("pictures with perspective, blur and noise are read, the decoder comes from here, and nothing is asked elsewhere", async () => {
  const { page, elsewhere, context } = await windowOf(chromium, pages.address);
  await page.goto("/");
  const luck = chance(20261130);
  for (const name of ["one day", "fourteen days, ten directions", "fourteen days, 48 directions"]) {
    const { log } = vectors.find((one) => one.name === name);
    const symbol = code.qr(log, { level: "M" });
    for (const perModule of [3, 4, 6]) {
      const pictures = Array.from({ length: 4 }, () => taken(symbol, perModule, luck));
      const read = await readAll(page, pictures);
      assert.ok(read.every((text) => text === null || text === log), `${name}, ${perModule} px: a wrong text`);
      assert.ok(read.filter((text) => text === log).length >= 3, `${name}, ${perModule} px: ${JSON.stringify(read)}`);
    }
  }
  assert.deepEqual(elsewhere, []);
  assert.ok(pages.asked.includes("/web/zxing/zxing_reader.wasm"));
  await context.close();
});

test("a picture without a symbol is null", async () => {
  const { page, context } = await windowOf(chromium, pages.address);
  await page.goto("/");
  const luck = chance(7);
  const noise = { width: 200, bytes: Uint8ClampedArray.from({ length: 40_000 }, () => 120 + luck.normal() * 30) };
  assert.deepEqual(await readAll(page, [noise]), [null]);
  await context.close();
});
