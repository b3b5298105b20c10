// The programme: built by a hand, by keys and without script; accepted, taught, shown back; every state of it
// without a violation at three widths.
import assert from "node:assert/strict";
import { join } from "node:path";
import { after, before, test } from "node:test";
import { browser, footrose, out, settled, sideways, signIn, small, violations, widths, windowOf } from "../harness.mjs";

let bench, chrome;
before(async () => {
  bench = await footrose([]);
  chrome = await browser();
});
after(async () => {
  await chrome?.close();
  await bench?.end();
});

async function personOf(page, number) {
  await page.goto(`people?q=${number}`);
  return new URL(page.url()).pathname.replace(/\/findings$/, "").slice(1);
}

/** Looks at one state at every width. */
async function look(page, name, wrong) {
  await settled(page);
  for (const width of widths) {
    await page.setViewportSize({ width, height: 900 });
    await page.waitForTimeout(100);
    await page.screenshot({ path: join(out, `programme-${name}-${width}.png`), fullPage: true });
    for (const one of await violations(page)) wrong.push(`${name} at ${width}: ${one}`);
    const wider = await sideways(page);
    if (wider > 0) wrong.push(`${name} at ${width}: wider than the window by ${wider} px`);
    for (const one of (await small(page)).slice(0, 5)) wrong.push(`${name} at ${width}: target too small: ${one}`);
  }
}

/** Waits until the answer to what was just done stands on the page. */
async function answered(page, words) {
  await page.locator("#sentence", { hasText: words }).waitFor();
}

const STEP = "programme?mover=right&family=step&to=90&cm=20&support=both&held=walking+frame";

test("every state of programme and teaching at three widths", async () => {
  const { context, page, elsewhere, complaints } = await windowOf(chrome, bench.address);
  const wrong = [];
  await signIn(page);
  const person = await personOf(page, "H-001");
  await page.goto(`${person}/programme`);
  await look(page, "nothing-accepted", wrong);
  await page.goto(`${person}/teach`);
  await look(page, "nothing-to-teach", wrong);
  await page.goto(`${person}/${STEP}`);
  await page.getByLabel("Where to").selectOption("45");
  await answered(page, "anterolateral");
  await look(page, "permitted", wrong);
  await page.getByLabel("How far, cm").fill("60");
  await page.getByText("Not permitted today").waitFor();
  await look(page, "refused", wrong);
  await page.getByLabel("Where to").selectOption("315");
  await answered(page, "anteromedial");
  await look(page, "closed", wrong);
  await page.getByLabel("Where to").selectOption("90");
  await page.getByLabel("How far, cm").fill("149");
  await answered(page, "149 cm");
  await look(page, "too-far", wrong);
  await page.getByRole("button", { name: "Accept the first proposal" }).click();
  await page.getByRole("heading", { name: "The programme", exact: true }).waitFor();
  await page.getByRole("link", { name: "One step up, one back" }).click();
  await page.getByRole("heading", { name: "One step up" }).waitFor();
  await look(page, "accepted-with-neighbours", wrong);
  await page.getByRole("link", { name: "Teach it now" }).click();
  await look(page, "teach", wrong);
  await page.locator(".step:not([hidden])").getByRole("button", { name: "Start the pace" }).click();
  await page.waitForTimeout(1200);
  await look(page, "teach-paced", wrong);
  let steps = 0;
  while (await page.getByRole("button", { name: "Next" }).isVisible()) {
    for (const tap of await page.locator(".step:not([hidden]) .tap").all()) await tap.locator(`input[value=${steps === 0 ? "hurt" : "steady"}]`).check();
    if (steps === 0) await look(page, "teach-hurt", wrong);
    await page.getByRole("button", { name: "Next" }).click();
    steps += 1;
    const head = await page.locator(".step:not([hidden]) h2").textContent();
    if (head?.startsWith("Shown back, exercise 2")) await look(page, "teach-shown-back", wrong);
  }
  assert.ok(steps >= 4, `${steps} steps`);
  await look(page, "teach-save", wrong);
  await page.getByRole("button", { name: "Save what was seen" }).click();
  await page.getByRole("heading", { name: "taught in the room" }).waitFor();
  await look(page, "teach-in-log", wrong);
  const flagged = await personOf(page, "H-013");
  for (const tab of ["programme", "teach"]) {
    await page.goto(`${flagged}/${tab}`);
    assert.equal(await page.locator("#builder, .step").count(), 0);
  }
  await context.close();
  assert.deepEqual({ wrong, elsewhere, complaints }, { wrong: [], elsewhere: [], complaints: [] });
});

test("a hand on the floor, keys and buttons set the same distance, and a reload keeps it", async () => {
  const { context, page } = await windowOf(chrome, bench.address);
  await signIn(page);
  const person = await personOf(page, "H-001");
  await page.goto(`${person}/${STEP}`);
  const far = page.getByLabel("How far, cm");
  const handle = page.getByRole("slider", { name: "How far, right" });
  await handle.scrollIntoViewIfNeeded();
  const grip = await page.locator("#handle .grip").boundingBox();
  const [x, y] = [grip.x + grip.width / 2, grip.y + grip.height / 2];
  await page.mouse.move(x, y);
  await page.mouse.down();
  await page.mouse.move(x + 40, y + 30, { steps: 8 });
  await page.mouse.up();
  const dragged = Number(await far.inputValue());
  assert.ok(dragged > 21, `dragged to ${dragged} cm`);
  await answered(page, `${dragged} cm`);
  await handle.focus();
  await page.keyboard.press("ArrowDown");
  await page.keyboard.press("PageDown");
  await answered(page, `${dragged - 6} cm`);
  assert.equal(await handle.getAttribute("aria-valuenow"), String(dragged - 6));
  await page.getByRole("button", { name: "5 cm further" }).click();
  await answered(page, `${dragged - 1} cm`);
  await page.getByRole("link", { name: "Go back, posterior" }).click();
  await answered(page, "posterior");
  const sentence = await page.locator("#sentence").textContent();
  await page.reload();
  assert.equal(await page.locator("#sentence").textContent(), sentence);
  await context.close();
});

test("without script the form asks, the floor leads, and a lesson is saved", async () => {
  const { page: first, context: before } = await windowOf(chrome, bench.address);
  await signIn(first);
  const cookies = await before.cookies();
  const context = await chrome.newContext({ javaScriptEnabled: false, baseURL: bench.address });
  await context.addCookies(cookies);
  const page = await context.newPage();
  await page.goto("people?q=H-002");
  const person = new URL(page.url()).pathname.replace(/\/findings$/, "").slice(1);
  await page.goto(`${person}/${STEP}`);
  // Without script a page that is worked out is asked for again by hand.
  for (let tries = 0; tries < 60 && await page.locator("[data-again]").count() > 0; tries += 1) {
    await new Promise((later) => setTimeout(later, 1000));
    await page.goto(`${person}/${STEP}`);
  }
  await page.getByRole("button", { name: "5 cm further" }).click();
  assert.match(await page.locator("#sentence").textContent(), /25 cm/);
  await page.locator("a.way[data-to='180']").click();
  assert.match(await page.locator("#sentence").textContent(), /posterior/);
  await page.getByLabel("Who moves").selectOption("left");
  await page.getByRole("button", { name: "Compute this movement" }).click();
  assert.match(await page.locator("#sentence").textContent(), /^left leg step/);
  await page.getByRole("button", { name: "Accept the first proposal" }).click();
  await page.getByRole("link", { name: "Teach it now" }).click();
  await page.locator(".tap input[value=corrected]").first().check();
  await page.getByRole("button", { name: "Save what was seen" }).click();
  await page.getByRole("heading", { name: "taught in the room" }).waitFor();
  assert.equal(await page.getByRole("cell", { name: "corrected" }).count(), 1);
  await context.close();
  await before.close();
});
