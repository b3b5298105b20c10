// How soon the builder answers a dragging hand: a measurement to read, not a test.
//   FOOTROSE=target/debug/footrose node e2e/measure-drag.mjs [H-001 ...]
// From the movement of the pointer to verdict, figures and bars being in the page ("answer"), and to the
// frame in which they are shown ("shown"). Every drag goes out over centimetres nobody asked for before.
import { browser, footrose, signIn, windowOf } from "./harness.mjs";

const people = process.argv.length > 2 ? process.argv.slice(2) : ["H-001", "H-003", "H-004", "H-010"];
const bench = await footrose([]);
const chrome = await browser();
const { page, complaints } = await windowOf(chrome, bench.address);
await signIn(page);
const all = { answer: [], shown: [] };
const at = (of, share) => [...of].sort((a, b) => a - b)[Math.min(of.length - 1, Math.floor(share * of.length))].toFixed(1);
for (const number of people) {
  await page.goto(`people?q=${number}`);
  const person = new URL(page.url()).pathname.replace(/\/findings$/, "").slice(1);
  const here = { answer: [], shown: [] };
  for (const to of [90, 45, 0]) {
    await page.goto(`${person}/programme?mover=right&family=step&to=${to}&cm=20`);
    await page.locator("#handle").scrollIntoViewIfNeeded();
    const box = await page.locator("#handle .grip").boundingBox();
    const [x, y] = [box.x + box.width / 2, box.y + box.height / 2];
    const turned = (to * Math.PI) / 180;
    await page.mouse.move(x, y);
    await page.mouse.down();
    for (let moved = 0; moved < 60; moved += 1) {
      await page.mouse.move(x + Math.sin(turned) * moved * 2.5, y - Math.cos(turned) * moved * 2.5);
      await page.waitForTimeout(20);
    }
    await page.waitForTimeout(500);
    for (const kind of ["answer", "shown"]) {
      const found = await page.evaluate((name) => performance.getEntriesByName(name).map((one) => one.duration), `footrose-${kind}`);
      here[kind].push(...found);
    }
    await page.mouse.up();
    await page.waitForTimeout(300);
  }
  for (const kind of ["answer", "shown"]) {
    all[kind].push(...here[kind]);
    console.log(`${number} ${kind}: ${here[kind].length} answers, p50 ${at(here[kind], 0.5)} ms, p95 ${at(here[kind], 0.95)} ms, slowest ${at(here[kind], 1)} ms`);
  }
}
for (const kind of ["answer", "shown"]) console.log(`all ${kind}: ${all[kind].length} answers, p50 ${at(all[kind], 0.5)} ms, p95 ${at(all[kind], 0.95)} ms`);
if (complaints.length) console.log(complaints);
await chrome.close();
await bench.end();
