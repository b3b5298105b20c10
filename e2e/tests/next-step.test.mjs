// What came home on paper, and what comes next: fourteen days by tapping, the proposals of the rules, one accepted,
// one declined with its reason, the new programme, and the trace of it.
import assert from "node:assert/strict";
import { join } from "node:path";
import { after, before, test } from "node:test";
import { browser, crowded, entries, footrose, out, personOf, settled, sideways, signIn, small, violations, widths, windowOf } from "../harness.mjs";

/** The most taps that fourteen days with four crossed rings take; at two a second it is well under a minute. */
const MOST_TAPS = 34;

let bench, chrome;
before(async () => {
  bench = await footrose([]);
  chrome = await browser();
});
after(async () => {
  await chrome?.close();
  await bench?.end();
});

/** Two weeks later the person is seen again and everything is found as before. */
async function twoWeeksLater(page, person) {
  await page.goto(`${person}/findings/text`);
  const text = page.locator("textarea");
  const now = (await text.inputValue()).replace("planned_for = 2026-02-04", "planned_for = 2026-02-18").replace("date = 2026-02-03", "date = 2026-02-17");
  await text.fill(now);
  await page.getByRole("button", { name: "Save" }).first().click();
  await settled(page);
}

/** The right words, no overlap, nothing too small: at three widths, with a picture of each. */
async function look(page, name) {
  const wrong = [];
  for (const width of widths) {
    await page.setViewportSize({ width, height: 900 });
    await page.screenshot({ path: join(out, `${name}-${width}.png`), fullPage: true });
    const say = (lines) => lines.slice(0, 6).forEach((line) => wrong.push(`${name} at ${width}: ${line}`));
    say(await violations(page));
    say(await crowded(page));
    say(await small(page));
    if (await sideways(page) > 0) wrong.push(`${name} at ${width}: wider than the window`);
  }
  await page.setViewportSize({ width: 820, height: 1180 });
  return wrong;
}

test("fourteen days on paper, what the rules propose, one accepted and one declined, and the trace", async () => {
  const { context, page, elsewhere, complaints } = await windowOf(chrome, bench.address, { width: 820, height: 1180 });
  const wrong = [];
  await signIn(page);
  const person = await personOf(page, "H-001");
  await page.goto(`${person}/programme`);
  await settled(page);
  await page.getByRole("button", { name: "Accept the first proposal" }).click();
  await page.getByRole("heading", { name: "The programme", exact: true }).waitFor({ timeout: 60_000 });
  await twoWeeksLater(page, person);

  await page.goto(`${person}/home-log`);
  await page.getByRole("link", { name: "Enter the paper grid" }).click();
  const days = page.locator(".grid-day");
  await page.locator("#grid-count").waitFor({ state: "attached" });
  assert.equal(await days.count(), 14);
  let taps = 0;
  const tap = async (/** @type {import("playwright-core").Locator} */ one) => { taps += 1; await one.click(); };
  const chip = (day, words) => days.nth(day).locator("label.chip", { hasText: words });
  await tap(page.locator("label.chip", { hasText: "from the paper grid" }));
  for (let day = 0; day < 14; day += 1) {
    if (day === 5) await tap(chip(day, "Not done"));
    else await tap(chip(day, "Done, no pain unless marked"));
  }
  // The first ring of the last exercise hurt twice, the last ring of it once; once a direction was left out.
  const mark = async (day, ring, words) => {
    await tap(days.nth(day).locator("summary"));
    const rings = days.nth(day).locator(".ring");
    await tap(ring < 0 ? rings.nth(await rings.count() + ring) : rings.nth(ring));
    await tap(days.nth(day).locator(".pad button", { hasText: words }));
  };
  await mark(8, 0, /^hurt, 3$/);
  await mark(10, -1, /^hurt, 4$/);
  await mark(12, 0, "hurt, no number");
  await mark(13, 1, "left out");
  await page.getByText("14 of 14 days").waitFor();
  wrong.push(...await look(page, "paper-grid"));
  await tap(page.getByRole("button", { name: "Save these days" }));
  assert.ok(taps <= MOST_TAPS, `${taps} taps`);
  console.log(`fourteen days with four marks: ${taps} taps`);
  await page.getByRole("heading", { name: "Home log" }).waitFor();

  const before = await entries(page, person);
  // The log does not wait for the rules: they speak beside it.
  await page.locator(".next-step:not([data-later])").waitFor({ timeout: 120_000 });
  const less = page.locator(".toward", { has: page.getByRole("heading", { name: "Less" }) }).locator(".one-proposal");
  assert.ok(await less.count() >= 2, `${await less.count()} go less far`);
  wrong.push(...await look(page, "next-step"));
  await less.nth(0).getByLabel("Accept").check();
  await less.nth(1).getByLabel("Decline").check();
  await less.nth(1).getByLabel("Why").fill("it was the shoe, seen in the room");
  await page.getByRole("button", { name: "Go on with these answers" }).click();
  await page.getByRole("heading", { name: "What will be there" }).waitFor({ timeout: 120_000 });
  wrong.push(...await look(page, "next-step-confirm"));
  await page.getByText("Nothing is saved yet.").waitFor();
  await page.getByRole("button", { name: "Save the new programme" }).click();
  await page.getByRole("heading", { name: "What was decided" }).waitFor();
  await page.getByText("it was the shoe, seen in the room").waitFor();
  wrong.push(...await look(page, "next-step-trace"));
  const now = await entries(page, person);
  assert.deepEqual(["case", "programme", "adaptation"].map((kind) => (now[kind] ?? 0) - (before[kind] ?? 0)), [1, 1, 1]);
  await page.goto(`${person}/programme`);
  await settled(page);
  await page.getByText("Accepted for 18 February 2026").waitFor();

  // Taken back: the programme of before stands again.
  await page.goto(`${person}/home-log`);
  await page.getByLabel("Take it back").fill("it was the other leg");
  await page.getByRole("button", { name: "Take it back" }).click();
  await page.getByText("Taken back by").waitFor();
  await page.goto(`${person}/programme`);
  await settled(page);
  await page.getByText("Accepted for 4 February 2026").waitFor();
  assert.deepEqual(wrong, []);
  assert.deepEqual({ elsewhere, complaints }, { elsewhere: [], complaints: [] });
  await context.close();
});

test("a day is copied to the next, marks and all, but not its stop sign, which stops until a clinician has looked", async () => {
  const { context, page } = await windowOf(chrome, bench.address, { width: 360, height: 780 });
  await signIn(page);
  const person = await personOf(page, "H-001");
  await page.goto(`${person}/home-log/grid?source=telephone`);
  const days = page.locator(".grid-day");
  assert.equal(await page.locator("input[name=source][value=telephone]").isChecked(), true);
  await days.nth(0).locator("label.chip", { hasText: "Done, pain not said" }).click();
  await days.nth(0).locator("summary").click();
  await days.nth(0).locator(".ring").first().click();
  await days.nth(0).locator(".pad button", { hasText: /^hurt, 2$/ }).click();
  await days.nth(0).getByLabel("Ended by a stop sign").selectOption({ label: "dizzy, sick or short of breath" });
  const wrong = await look(page, "paper-grid-stop");
  await days.nth(1).getByRole("button", { name: "As the day before, marks too" }).click();
  await page.getByText("2 of 14 days").waitFor();
  assert.equal(await days.nth(1).locator("input[value=not_said]").isChecked(), true);
  assert.equal(await days.nth(1).locator("select[data-ring]").first().inputValue(), "2");
  assert.equal(await days.nth(1).locator("select[name^='stop:']").inputValue(), "");

  // Stored, it stops: the home log says so, and no sheet goes home.
  await page.getByRole("button", { name: "Save these days" }).click();
  await page.waitForURL(/home-log/);
  await page.getByRole("heading", { name: "Stop: nothing is done until a clinician has looked" }).waitFor();
  wrong.push(...await look(page, "next-step-stop"));
  const sheet = await page.goto(`${person}/programme/sheet.txt`);
  assert.equal(sheet?.ok(), false);
  wrong.push(...await look(page, "sheet-refused-stop"));
  await page.goto(`${person}/teach`);
  wrong.push(...await look(page, "teach-stop"));
  // Today names it and leads there.
  await page.goto(bench.address);
  const named = page.getByRole("link", { name: /^A stop sign of .* was not looked at: dizzy, sick or short of breath\.$/ });
  await named.waitFor();
  wrong.push(...await look(page, "today-stop"));
  await named.click();
  await page.waitForURL(/home-log/);
  await page.getByLabel("You have looked and the person may go on.").fill("stood up too fast; pulse and pressure as usual, seen at the surgery");
  await page.getByRole("button", { name: "Write it down and ask the rules again" }).click();
  await page.waitForURL(/home-log/);
  await page.getByRole("heading", { name: "Stop: nothing is done" }).waitFor({ state: "detached" });
  await page.goto(bench.address);
  await page.locator("#today").waitFor();
  assert.equal(await page.getByText("was not looked at").count(), 0);
  await page.goto(`${person}/programme/sheet.txt`);
  assert.doesNotMatch((await page.textContent("body")) ?? "", /stop sign of/);
  assert.deepEqual(wrong, []);
  await context.close();
});
