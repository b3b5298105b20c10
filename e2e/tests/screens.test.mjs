// Every screen at three widths: no violation, nothing wider than the window, no target too small,
// no request to anywhere else; and a picture of each to look at.
import assert from "node:assert/strict";
import { join } from "node:path";
import { after, before, test } from "node:test";
import { browser, footrose, out, sideways, signIn, small, violations, widths, windowOf } from "../harness.mjs";

let bench, chrome;
before(async () => {
  bench = await footrose([]);
  chrome = await browser();
});
after(async () => {
  await chrome?.close();
  await bench?.end();
});

/** Waits until a page that is worked out is there. */
async function settled(page) {
  await page.waitForLoadState("load");
  await page.waitForFunction(() => !document.querySelector("[data-again]"), undefined, { timeout: 90_000 });
  await page.waitForLoadState("load");
}

/** Takes a picture of the page that is open and says what is wrong with it, ten lines at most of each. */
async function look(page, name, width, wrong) {
  await settled(page);
  await page.screenshot({ path: join(out, `${name}-${width}.png`), fullPage: true });
  const say = (lines) => lines.slice(0, 10).forEach((line) => wrong.push(`${name} at ${width} px: ${line}`));
  say(await violations(page));
  const wider = await sideways(page);
  if (wider > 0) say([`wider than the window by ${wider} px`]);
  say((await small(page)).map((line) => `target too small: ${line}`));
}

/** The address of a person, found by number. */
async function personOf(page, number) {
  await page.goto(`people?q=${number}`);
  return new URL(page.url()).pathname.replace(/\/findings$/, "").slice(1);
}

for (const width of widths) {
  test(`every screen at ${width} px`, async () => {
    const { context, page, elsewhere, complaints } = await windowOf(chrome, bench.address, { width });
    const wrong = [];
    await page.goto("sign-in");
    await look(page, "sign-in", width, wrong);
    await signIn(page);
    await look(page, "today", width, wrong);
    for (const [name, path] of [
      ["people", "people"], ["person-new", "people/new"], ["clinic", "clinic"],
      ["audit", "clinic/audit"], ["settings", "clinic/settings"], ["accounts", "clinic/accounts"],
      ["backup", "clinic/backup"], ["devices", "clinic/devices"], ["recover", "recover"],
      ["countersign", "clinic/countersign"], ["adverse-events", "clinic/adverse"],
    ]) {
      await page.goto(path);
      await look(page, name, width, wrong);
    }
    const person = await personOf(page, "H-001");
    for (const tab of ["findings", "space", "programme", "home-log", "measures", "letters", "record", "adverse"]) {
      await page.goto(`${person}/${tab}`);
      await look(page, tab, width, wrong);
    }
    const flagged = await personOf(page, "H-013");
    await page.goto(`${flagged}/programme`);
    await look(page, "red-flag", width, wrong);
    await page.goto(`${person}/programme`);
    await settled(page);
    await page.getByRole("button", { name: "Hand the screen over" }).click();
    await page.getByRole("heading", { name: "Your exercises" }).waitFor();
    await look(page, "hand-over", width, wrong);
    await page.getByRole("button", { name: "Give back" }).click();
    await page.getByRole("heading", { name: "Locked" }).waitFor();
    await look(page, "locked", width, wrong);
    const missing = await page.goto("no-such-page");
    assert.equal(missing?.status(), 404);
    await look(page, "no-such-page", width, wrong);
    assert.deepEqual(wrong, []);
    assert.deepEqual(elsewhere, [], "requests to anywhere else");
    assert.deepEqual(complaints.filter((line) => !line.includes("404")), [], "complaints of the browser");
    await context.close();
  });
}

test("twice as large letters leave nothing out of reach", async () => {
  const { context, page } = await windowOf(chrome, bench.address, { width: 720, height: 450 });
  await signIn(page);
  await page.addInitScript(() => {
    document.addEventListener("DOMContentLoaded", () => { document.documentElement.style.fontSize = "225%"; });
  });
  for (const path of ["", "people", "clinic/settings"]) {
    await page.goto(path);
    assert.equal(await sideways(page), 0, `/${path} is wider than the window`);
  }
  await context.close();
});
