// Measuring in the workbench: a re-test with its verdict, a refused test, no doubles.
// @ts-check
import assert from "node:assert/strict";
import { after, before, test } from "node:test";
import { browser, footrose, out, signIn, sideways, violations, widths, windowOf } from "../harness.mjs";
import { join } from "node:path";

/** @type {Awaited<ReturnType<typeof footrose>>} */
let program;
/** @type {Awaited<ReturnType<typeof browser>>} */
let chromium;
before(async () => {
  program = await footrose([]);
  chromium = await browser();
});
after(async () => {
  await chromium?.close();
  await program?.end();
});

/**
 * Opens a tab of somebody.
 * @param {import("playwright-core").Page} page
 * @param {string} name
 * @param {string} path
 */
async function open(page, name, path) {
  await page.goto("people");
  await page.getByRole("link", { name }).first().click();
  await page.waitForURL(/findings/);
  await page.goto(page.url().replace(/findings.*/, path));
}

test("a re-test is typed, scored while typing, saved once, and gets its verdict", async () => {
  const { context, page, elsewhere, complaints } = await windowOf(chromium, program.address, { width: 820 });
  await signIn(page);
  await open(page, "Ibbe", "measures/tests");
  await page.getByRole("link", { name: "Knee to wall, toe to wall distance" }).click();
  await page.getByLabel("Practice tries done").fill("1");
  const left = page.locator("[data-cell=left]");
  for (const [n, cm] of ["9.0", "9.5", "10"].entries()) {
    await left.locator("input.big").nth(n).fill(cm);
  }
  await left.locator("output").filter({ hasText: "9.5 cm (mean of 3)" }).waitFor();
  await page.screenshot({ path: join(out, "measures-typed-820.png"), fullPage: true });
  await page.getByRole("button", { name: /^Save/ }).click();
  await page.waitForURL(/measures\?saved=1/);
  const changed = page.locator("#test-lunge_distance");
  await changed.getByText(/^Left leg: better, (probably real|real and large)/).waitFor();
  assert.match(await changed.innerText(), /Chance that it is really better: more than 99 %/);
  await page.reload();
  const today = page.locator("details.measured").first();
  assert.equal(await today.getByRole("row", { name: /Knee to wall.*left/ }).count(), 1, "a later entry counts, once");
  assert.deepEqual(elsewhere, []);
  assert.deepEqual(complaints, []);
  await context.close();
});

test("a refused test says why and what else, and is stored only by somebody's word", async () => {
  const { context, page } = await windowOf(chromium, program.address, { width: 820 });
  await signIn(page);
  await open(page, "Anselm", "measures/take/single_hop");
  await page.getByRole("heading", { name: "Refused today", exact: true }).waitFor();
  await page.locator("[data-cell=left] input.big").first().fill("40");
  await page.locator("[data-cell=left] input.big").nth(1).fill("45");
  await page.getByRole("button", { name: /^Save/ }).click();
  const told = page.locator(".mend");
  await told.waitFor();
  assert.match(await told.innerText(), /REFUSED TODAY/);
  assert.equal(await page.locator("[data-cell=left] input.big").first().inputValue(), "40", "nothing typed is lost");
  await page.getByLabel("Reason").fill("asked for by the insurer, the surgeon agreed");
  await page.getByRole("button", { name: /^Save/ }).click();
  await page.waitForURL(/measures\?saved=1/);
  await page.getByText("Done although refused, by").waitFor();
  await context.close();
});

test("readings of two raters become an error and a chart, and a wrong table says its line", async () => {
  const { context, page, elsewhere } = await windowOf(chromium, program.address, { width: 820 });
  await signIn(page);
  await page.goto("clinic/agreement");
  const table = page.getByLabel("Readings, as comma-separated lines");
  await table.fill("person,Tarn,Osric\na,61.0,62.5\nb,55.5,x\nc,70.0,71.5\n");
  await page.getByRole("button", { name: "Compare" }).click();
  assert.match(await page.locator(".mend").innerText(), /line 3/);
  await table.fill("person,Tarn,Osric\na,61.0,62.5\nb,55.5,55.0\nc,70.0,71.5\nd,64.5,63.0\n");
  await page.getByRole("button", { name: "Compare" }).click();
  await page.getByText("ICC(2,1)").waitFor();
  assert.equal(await page.locator("figure svg").count(), 1);
  assert.deepEqual(await violations(page), []);
  await page.goto("clinic/outcomes");
  await page.getByRole("heading", { name: "Comfortable walking speed" }).waitFor();
  assert.deepEqual(await violations(page), []);
  assert.deepEqual(elsewhere, []);
  await context.close();
});

test("the entry of trials fits a phone and the checker finds nothing", async () => {
  for (const width of widths) {
    const { context, page } = await windowOf(chromium, program.address, { width });
    await signIn(page);
    for (const path of ["measures", "measures/tests", "measures/take/three_reach", "measures/take/pain_0_10"]) {
      await open(page, "Ylva", path);
      assert.deepEqual(await violations(page), [], `${path} at ${width}`);
      assert.ok((await sideways(page)) <= 0, `${path} at ${width} runs out of the page by ${await sideways(page)} px`);
      await page.screenshot({ path: join(out, `${path.replaceAll("/", "-")}-${width}.png`), fullPage: true });
    }
    await context.close();
  }
});
