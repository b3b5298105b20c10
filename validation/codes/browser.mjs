// Reads the pictures that pictures.py made, with the decoder that the workbench carries, in headless Chromium.
// usage: node browser.mjs FOLDER RESULTS.json   (adds `read in the browser` to every row of the results)

import { readFileSync, writeFileSync } from "node:fs";
import { site } from "../../e2e/camera.mjs";
import { browser, windowOf } from "../../e2e/harness.mjs";

const [folder, file] = process.argv.slice(2);
const pictures = JSON.parse(readFileSync(`${folder}/pictures.json`, "utf8"));
const results = JSON.parse(readFileSync(file, "utf8"));
const chromium = await browser();
const pages = await site(folder);
const { page, elsewhere } = await windowOf(chromium, pages.address);
await page.goto("/");
for (const row of results.rows) Object.assign(row, { "read in the browser": {}, "wrong in the browser": 0 });
for (let at = 0; at < pictures.length; at += 30) {
  const some = pictures.slice(at, at + 30);
  const texts = await page.evaluate(async (names) => {
    const { readFrame } = await import("/web/camera-code.js");
    const out = [];
    for (const name of names) {
      const bitmap = await createImageBitmap(await (await fetch(`/pictures/${name}`)).blob());
      const canvas = new OffscreenCanvas(bitmap.width, bitmap.height).getContext("2d");
      canvas.drawImage(bitmap, 0, 0);
      out.push(await readFrame(canvas.getImageData(0, 0, bitmap.width, bitmap.height)));
    }
    return out;
  }, some.map((one) => one.file));
  some.forEach((one, place) => {
    const row = results.rows[one.row];
    const read = row["read in the browser"];
    read[one.per_module] = (read[one.per_module] ?? 0) + (texts[place] === one.text ? 1 : 0);
    if (texts[place] !== null && texts[place] !== one.text) row["wrong in the browser"] += 1;
  });
}
await chromium.close();
pages.end();
if (elsewhere.length > 0) throw new Error(`asked elsewhere: ${elsewhere}`);
writeFileSync(file, `${JSON.stringify(results, null, 1)}\n`);
for (const row of results.rows) console.log(row.log, row.version, row.level, row["read in the browser"], row["wrong in the browser"]);
