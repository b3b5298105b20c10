// What came home, in a browser: a picture file of a code, a typed code with one wrong character, saved once, read
// again with nothing to add; without a camera the page says so and the other ways stay.
// @ts-check
import assert from "node:assert/strict";
import { readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { after, before, test } from "node:test";
import { chance, taken } from "../camera.mjs";
import { browser, footrose, out, personOf, settled, sideways, signIn, violations, widths, windowOf } from "../harness.mjs";

const file = (path) => readFileSync(new URL(`../../${path}`, import.meta.url), "utf8");
const code = new Function(`${file("assets/practice/code.js")}${file("assets/practice/qr.js")}; return footroseCode;`)();

let bench, chrome;
before(async () => {
  bench = await footrose([]);
  chrome = await browser();
});
after(async () => {
  await chrome?.close();
  await bench?.end();
});

/** A picture of a code as a telephone might take it, as a file. */
async function pictureOf(page, symbol, name) {
  const { width, bytes } = taken(symbol, 4, chance(20261201));
  const url = await page.evaluate(({ side, grey }) => {
    const canvas = document.createElement("canvas");
    canvas.width = canvas.height = side;
    const image = new ImageData(side, side);
    Uint8Array.from(atob(grey), (letter) => letter.charCodeAt(0)).forEach((value, at) => image.data.set([value, value, value, 255], at * 4));
    canvas.getContext("2d")?.putImageData(image, 0, 0);
    return canvas.toDataURL("image/png");
  }, { side: width, grey: Buffer.from(bytes).toString("base64") });
  const path = join(out, name);
  writeFileSync(path, Buffer.from(url.split(",")[1], "base64"));
  return path;
}

/** Accepts the first proposal of a person and takes the practice page that is handed out. */
async function handOut(page, person) {
  await page.goto(`${person}/programme`);
  await settled(page);
  if (await page.getByRole("heading", { name: "The programme", exact: true }).count() === 0) {
    await page.getByRole("button", { name: "Accept the first proposal" }).click();
    await page.getByRole("heading", { name: "The programme", exact: true }).waitFor({ timeout: 60_000 });
  }
  const [download] = await Promise.all([
    page.waitForEvent("download"),
    page.getByRole("button", { name: "The practice page (file)" }).click(),
  ]);
  const html = readFileSync(await download.path(), "utf8");
  return JSON.parse(/id="programme">(.*?)<\/script>/s.exec(html)?.[1] ?? "null");
}

/** Every direction of a programme in its order, as the page logs them. */
function cells(programme) {
  return programme.exercises.flatMap(({ family, limbs }, at) => limbs.flatMap(({ mover, cells: all }) =>
    all.map(({ bearing, crossing }) => ({ exercise: at + 1, mover, bearing, crossing, family }))));
}

function session(programme, on, pain) {
  const done = (at) => ({ done: { pain: at === 0 ? pain : 0, rung: at === 0 && pain > 0 ? "shortened" : "whole" } });
  return { on, nth: 1, pain_before: 1, cells: cells(programme).map((cell, at) => [cell, done(at)]), stopped: null, effort: 4, morning: "same" };
}

function prescription(programme) {
  return { mark: programme.mark, from: programme.from, until: programme.until, a_day: programme.aDay, cells: cells(programme) };
}

async function look(page, name) {
  for (const width of widths) {
    await page.setViewportSize({ width, height: 900 });
    await settled(page);
    await page.screenshot({ path: join(out, `${name}-${width}.png`), fullPage: true });
    assert.equal(await sideways(page), 0, `${name} at ${width}`);
  }
  await page.setViewportSize({ width: 1440, height: 900 });
  assert.deepEqual(await violations(page), [], name);
}

test("a picture of the code is read, looked at, saved once; read again it adds nothing", async () => {
  const { context, page, elsewhere, complaints } = await windowOf(chrome, bench.address);
  await signIn(page);
  const person = await personOf(page, "H-001");
  const programme = await handOut(page, person);
  await look(page, "hand-out");
  const log = [session(programme, programme.from, 4)];
  const path = await pictureOf(page, code.qr(code.encodeLog(prescription(programme), log), { level: "M" }), "code.png");

  await page.goto(`${person}/home-log`);
  await look(page, "came-home-ways");
  const choose = () => page.locator("#file").setInputFiles(path);
  await choose();
  await page.getByRole("heading", { name: "What came home: look at it, then save" }).waitFor({ timeout: 30_000 });
  assert.ok(await page.getByText("1 session: 1 new.").isVisible());
  assert.ok(await page.getByText("worst 4 of 10").isVisible());
  await look(page, "came-home-preview");
  await page.getByRole("button", { name: "Save this session" }).click();
  await page.getByText("Saved.", { exact: true }).waitFor();
  assert.equal(await page.getByRole("heading", { name: "from the practice page" }).count(), 1);
  await choose();
  await page.getByText("Nothing new: all of it is in the records already.").waitFor();
  assert.equal(await page.getByRole("button", { name: /^Save/ }).count(), 0);
  await look(page, "came-home-nothing-new");

  // A picture without a code, and a file that is no text, are told on the page; nothing is sent.
  await page.goto(`${person}/home-log`);
  const blank = join(out, "blank.png");
  writeFileSync(blank, await page.screenshot({ clip: { x: 0, y: 0, width: 60, height: 60 } }));
  await page.locator("#file").setInputFiles(blank);
  await page.getByText("No code was found in blank.png").waitFor();
  const noise = join(out, "noise.bin");
  writeFileSync(noise, Buffer.from([0, 1, 2, 255]));
  await page.locator("#file").setInputFiles(noise);
  await page.getByText("noise.bin is no text").waitFor();
  assert.deepEqual(elsewhere, []);
  assert.deepEqual(complaints, []);
  await context.close();
});

test("a typed code with one wrong character asks for its group, and is saved once", async () => {
  const { context, page } = await windowOf(chrome, bench.address);
  await signIn(page);
  const person = await personOf(page, "H-001");
  const programme = await handOut(page, person);
  const right = code.typed(prescription(programme), [session(programme, programme.from, 7)]).replaceAll("-", "");
  const wrong = `${right.slice(0, 5)}${right[5] === "7" ? "8" : "7"}${right.slice(6)}`;
  await page.goto(`${person}/home-log`);
  // Put into the first group, a whole code goes on from group to group.
  await page.getByLabel("Group 1 of 4").fill(wrong.toLowerCase());
  assert.equal(await page.getByLabel("Group 4 of 4").inputValue(), wrong.slice(12));
  await page.getByRole("button", { name: "Look at this code" }).click();
  await page.getByRole("heading", { name: "One character is probably wrong" }).waitFor();
  assert.ok(await page.getByText("read group 2 again").isVisible());
  await look(page, "came-home-one-wrong");
  await page.getByRole("button", { name: `They read ${right.slice(4, 8)}: use it` }).click();
  await page.getByRole("button", { name: "Save this summary" }).waitFor();
  assert.ok(await page.getByText("worst pain 6 or more of 10").isVisible());
  await look(page, "came-home-summary");
  await page.getByRole("button", { name: "Save this summary" }).click();
  await page.getByText("Saved.", { exact: true }).waitFor();
  assert.equal(await page.getByRole("heading", { name: "by telephone" }).filter({ hasNotText: "session" }).count() > 0, true);
  await page.getByLabel("Group 1 of 4").fill(right);
  await page.getByRole("button", { name: "Look at this code" }).click();
  await page.getByText("Nothing new: all of it is in the records already.").waitFor();
  await context.close();
});

test("without permission, and without a camera, the page says so and the other ways stay", async () => {
  const { context, page } = await windowOf(chrome, bench.address);
  await signIn(page);
  const person = await personOf(page, "H-001");
  await page.goto(`${person}/home-log`);
  await page.getByRole("button", { name: "Open the camera" }).click();
  await page.getByText(/does not let this page use the camera|has no camera/).waitFor();
  assert.ok(await page.getByLabel("Group 1 of 4").isVisible());
  assert.ok(await page.getByText("Choose a picture or a file").isVisible());
  await page.addInitScript(() => Object.defineProperty(navigator, "mediaDevices", { value: undefined }));
  await page.reload();
  await page.getByText("The browser gives this page no camera.").waitFor();
  assert.equal(await page.getByRole("button", { name: "Open the camera" }).isVisible(), false);
  await context.close();
});

test("the address goes home as text and as a code that can be scanned, once the site is set", async () => {
  const { context, page, elsewhere, complaints } = await windowOf(chrome, bench.address);
  await signIn(page);
  const person = await personOf(page, "H-001");
  await handOut(page, person);
  assert.equal(await page.getByRole("button", { name: "The address, with a code to scan" }).count(), 0);
  await page.goto("clinic/settings");
  await page.getByLabel("Address of the practice site, if there is one").fill("https://practice.example/");
  await page.getByRole("button", { name: "Save", exact: true }).click();
  await page.getByText("Saved.", { exact: true }).waitFor();
  await page.goto(`${person}/programme`);
  await settled(page);
  await page.getByRole("button", { name: "The address, with a code to scan" }).click();
  await page.getByRole("heading", { name: "The address for the phone" }).waitFor();
  assert.match(await page.getByLabel("The address", { exact: true }).inputValue(), /^https:\/\/practice\.example\/#[\w-]{60,}$/);
  await page.locator(".symbol svg").waitFor();
  await look(page, "address");
  // Read by the camera's decoder it is that address: a programme, which is no log.
  const picture = join(out, "address.png");
  writeFileSync(picture, await page.locator(".symbol").screenshot());
  await page.goto(`${person}/home-log`);
  await page.locator("#file").setInputFiles(picture);
  await page.getByText("This is the address of a programme from 2026-02-04").waitFor();
  assert.deepEqual(elsewhere, []);
  assert.deepEqual(complaints.filter((line) => !line.includes("422")), []);
  await context.close();
});
