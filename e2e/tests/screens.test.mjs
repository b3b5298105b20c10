// Every screen at three widths and at twice the size: no violation, nothing wider than the window, nothing
// over each other or cut off, no target too small, no request to anywhere else; and a picture of each to
// look at. A test of the list itself: no address of the workbench is missing from it.
import assert from "node:assert/strict";
import { readdirSync, readFileSync } from "node:fs";
import { dirname, join } from "node:path";
import { after, before, test } from "node:test";
import { fileURLToPath } from "node:url";
import { browser, crowded, footrose, out, personOf, settled, sideways, signIn, small, violations, widths, windowOf } from "../harness.mjs";

let bench, chrome;
before(async () => {
  bench = await footrose([]);
  chrome = await browser();
});
after(async () => {
  await chrome?.close();
  await bench?.end();
});

/** Screens that anybody who signed in can open, by name and address. */
const CLINIC = [
  ["today", ""], ["people", "people"], ["people-none", "people?q=nobody+of+this+name"], ["person-new", "people/new"],
  ["clinic", "clinic"], ["audit", "clinic/audit"], ["settings", "clinic/settings"], ["accounts", "clinic/accounts"],
  ["backup", "clinic/backup"], ["devices", "clinic/devices"], ["countersign", "clinic/countersign"], ["adverse-events", "clinic/adverse"],
  ["outcomes", "clinic/outcomes"], ["agreement", "clinic/agreement"],
];
/** Screens of one person. */
const PERSON = [
  "findings", "findings/text", "findings/versions", "space", "programme", "teach", "home-log", "home-log/came-home", "home-log/grid", "home-log/next-step", "measures", "measures/tests",
  "measures/take/three_reach", "measures/take/pain_0_10", "letters", "record", "adverse",
];

/** Takes a picture of the page that is open and says what is wrong with it, ten lines at most of each. */
async function look(page, name, width, wrong, { targets = true } = {}) {
  await settled(page);
  await page.screenshot({ path: join(out, `${name.replaceAll("/", "-")}-${width}.png`), fullPage: true });
  const say = (lines) => lines.slice(0, 10).forEach((line) => wrong.push(`${name} at ${width}: ${line}`));
  say(await violations(page));
  const wider = await sideways(page);
  if (wider > 0) say([`wider than the window by ${wider} px`]);
  say(await crowded(page));
  if (targets) say((await small(page)).map((line) => `target too small: ${line}`));
}

/** Every screen, from signing in to a page that is not there. */
async function everyScreen(page, width, wrong, how) {
  for (const name of ["recover", "sign-in"]) {
    await page.goto(name);
    await look(page, name, width, wrong, how);
  }
  await signIn(page);
  for (const [name, path] of CLINIC) {
    await page.goto(path);
    await look(page, name, width, wrong, how);
  }
  const person = await personOf(page, "H-001");
  for (const tab of PERSON) {
    await page.goto(`${person}/${tab}`);
    await look(page, tab, width, wrong, how);
  }
  // What stands there after something was accepted, and in the middle of a lesson.
  await page.goto(`${person}/programme`);
  await settled(page);
  const accept = page.getByRole("button", { name: "Accept the first proposal" });
  if (await page.getByRole("heading", { name: "The programme", exact: true }).count() === 0) await accept.click();
  await page.getByRole("heading", { name: "The programme", exact: true }).waitFor({ timeout: 60_000 });
  await page.locator("details.dose summary").first().click();
  await look(page, "programme-accepted", width, wrong, how);
  await page.goto(`${person}/teach`);
  await look(page, "teach-lesson", width, wrong, how);
  await page.goto(`${person}/home-log`);
  await page.getByLabel("What was done, and what hurt").fill("half a sen");
  await page.waitForTimeout(700);
  await page.reload();
  await page.locator(".kept-note").waitFor();
  await look(page, "kept", width, wrong, how);
  await page.getByRole("button", { name: "Throw it away" }).click();
  await page.locator(".kept-note").waitFor({ state: "detached" });
  const fresh = await personOf(page, "H-002");
  await page.goto(`${fresh}/findings`);
  await look(page, "findings-both-hips", width, wrong, how);
  const flagged = await personOf(page, "H-013");
  await page.goto(`${flagged}/programme`);
  await look(page, "red-flag", width, wrong, how);
  await page.goto(`${person}/programme`);
  await settled(page);
  await page.getByRole("button", { name: "Hand the screen over" }).click();
  await page.getByRole("heading", { name: "Your exercises" }).waitFor();
  await look(page, "hand-over", width, wrong, how);
  await page.getByRole("button", { name: "Give back" }).click();
  await page.getByRole("heading", { name: "Locked" }).waitFor();
  await look(page, "locked", width, wrong, how);
  const missing = await page.goto("no-such-page");
  assert.equal(missing?.status(), 404);
  await look(page, "no-such-page", width, wrong, how);
}

for (const width of widths) {
  test(`every screen at ${width} px`, async () => {
    const { context, page, elsewhere, complaints } = await windowOf(chrome, bench.address, { width });
    const wrong = [];
    await everyScreen(page, width, wrong);
    assert.deepEqual(wrong, []);
    assert.deepEqual(elsewhere, [], "requests to anywhere else");
    assert.deepEqual(complaints.filter((line) => !line.includes("404")), [], "complaints of the browser");
    await context.close();
  });
}

test("every screen at 200 % of a window of 1280 px", async () => {
  // What a browser does at 200 %: half as many pixels of the page, each twice as large.
  const { context, page } = await windowOf(chrome, bench.address, { width: 640, height: 400, scale: 2 });
  const wrong = [];
  await everyScreen(page, "zoom-200", wrong);
  assert.deepEqual(wrong, []);
  await context.close();
});

test("every screen with letters twice as large", async () => {
  const { context, page } = await windowOf(chrome, bench.address, { width: 820, height: 1180 });
  await page.addInitScript(() => {
    document.addEventListener("DOMContentLoaded", () => { document.documentElement.style.fontSize = "225%"; });
  });
  const wrong = [];
  await everyScreen(page, "letters-200", wrong, { targets: false });
  assert.deepEqual(wrong, []);
  await context.close();
});

test("no screen of the workbench is missing from these lists", () => {
  const source = join(dirname(fileURLToPath(import.meta.url)), "../../crates/web/src");
  const files = readdirSync(source, { recursive: true }).filter((name) => String(name).endsWith(".rs"));
  const shown = files.flatMap((name) =>
    [...readFileSync(join(source, String(name)), "utf8").matchAll(/\.route\(\s*"([^"]+)",\s*get\(/g)].map((found) => found[1]));
  // Files, answers to a module, addresses that only lead on, and what other tests look at (a device that asks to come in).
  const others = ["/people/{person}", "/people/{person}/programme/sheet.pdf", "/people/{person}/programme/sheet.txt", "/people/{person}/programme/floor-guide.pdf", "/people/{person}/programme/address", "/first-use/{word}", "/draft", "/clinic/devices/footrose-clinic.crt", "/pair", "/people/{person}/stopped", "/people/{person}/home-log/next-step/confirm", "/people/{person}/findings/ask", "/people/{person}/letters/letter.pdf", "/people/{person}/letters/letter.txt", "/still", "/recover", "/sign-in", "/locked", "/hand-over"];
  const listed = [...CLINIC.map(([, path]) => `/${path.split("?")[0]}`), ...PERSON.map((tab) => `/people/{person}/${tab.replace(/take\/.*/, "take/{test}")}`)];
  const missing = shown.filter((path) => !others.includes(path) && !listed.includes(path));
  assert.deepEqual(missing, []);
});
