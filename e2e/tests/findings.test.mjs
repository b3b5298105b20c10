// Findings and movement space: a first visit from nothing, a change with its undo, the reason of a direction.
import assert from "node:assert/strict";
import { after, before, test } from "node:test";
import { browser, footrose, out, sideways, signIn, small, violations, widths, windowOf } from "../harness.mjs";
import { join } from "node:path";

let bench, chrome;
before(async () => {
  bench = await footrose([]);
  chrome = await browser();
});
after(async () => {
  await chrome?.close();
  await bench?.end();
});

const chip = (page, name, value) => page.locator(`label.chip:has(input[name="${name}"][value="${value}"])`);

async function sound(page, name, width) {
  await page.screenshot({ path: join(out, `${name}-${width}.png`), fullPage: true });
  assert.deepEqual(await violations(page), [], `${name} at ${width}`);
  assert.equal(await sideways(page), 0, `${name} at ${width}`);
  assert.deepEqual(await small(page), [], `${name} at ${width}`);
}

test("a first visit from nothing, with the keyboard's and the finger's targets, at three widths", async () => {
  for (const width of widths) {
    const { context, page, elsewhere } = await windowOf(chrome, bench.address, { width });
    await signIn(page);
    await page.goto("people/new");
    await page.getByLabel("Name or initials").fill(`Edda ${width}`);
    await page.getByRole("button", { name: "Add" }).click();
    await page.getByRole("heading", { name: `Edda ${width}: Findings` }).waitFor();
    await sound(page, "findings-new", width);
    await page.getByLabel("All 13 asked, none present").check();
    await page.locator('[name="person.age"]').fill("68");
    await chip(page, "person.sex", "female").click();
    await page.locator('[name="person.stature"]').fill("1640");
    await page.locator('[name="person.mass"]').fill("66");
    await chip(page, "conditions.new.kind", "hip_replacement").click();
    await chip(page, "conditions.new.side", "left").click();
    await chip(page, "conditions.new.approach", "anterior").click();
    await page.getByRole("button", { name: "Save" }).click();
    await page.getByText("Not saved yet: 1 thing to mend").waitFor();
    await sound(page, "findings-mend", width);
    assert.equal(await page.locator('[name="person.mass"]').inputValue(), "66");
    await page.locator('[name="person.stature"]').fill("164");
    await page.getByRole("button", { name: "Save" }).click();
    await page.getByText("The first version is saved.").waitFor();
    await page.getByRole("heading", { name: "Ask next" }).waitFor();
    await sound(page, "findings-asked", width);
    assert.deepEqual(elsewhere, []);
    await context.close();
  }
});

test("pressing save on what was shown writes nothing, for anybody", async () => {
  const { context, page } = await windowOf(chrome, bench.address);
  await signIn(page);
  for (let number = 1; number <= 13; number += 1) {
    await page.goto(`people?q=H-${String(number).padStart(3, "0")}`);
    await page.getByRole("button", { name: "Save and see what opened" }).click();
    await page.getByText("Saved.", { exact: true }).waitFor();
    assert.ok(!page.url().includes("changed="), `H-${number}: a version was written`);
  }
  await context.close();
});

test("a note of pain says in which movement it hurt, at three widths", async () => {
  for (const width of widths) {
    const { context, page } = await windowOf(chrome, bench.address, { width });
    await signIn(page);
    await page.goto("people?q=H-005");
    await page.getByText("Note a direction that hurt").click();
    await page.locator('[name="hurt[1].family"]').selectOption({ label: "Step" });
    await page.locator('[name="hurt.new.direction"]').selectOption("forward");
    await sound(page, "findings-hurt", width);
    await context.close();
  }
});

test("a change tells what it closed, and one tap brings the version before back", async () => {
  const { context, page } = await windowOf(chrome, bench.address, { width: 820 });
  await signIn(page);
  await page.goto("people?q=H-001");
  await chip(page, "findings.wound_dry", "no").click();
  await page.getByRole("button", { name: "Save" }).click();
  await page.getByRole("heading", { name: "What this changed" }).waitFor({ timeout: 60_000 });
  const told = await page.locator(".changed").innerText();
  assert.match(told, /\d+ closed of \d+ directions/);
  await sound(page, "findings-changed", 820);
  await page.getByRole("button", { name: "Undo" }).click();
  await page.locator(".changed", { hasText: /\d+ opened/ }).waitFor({ timeout: 60_000 });
  await page.getByRole("link", { name: "Every version" }).click();
  await page.getByText("brings back the version of").waitFor();
  await sound(page, "findings-versions", 820);
  await context.close();
});

test("a direction says why it is closed to the pointer and to the arrow keys", async () => {
  for (const width of widths) {
    const { context, page } = await windowOf(chrome, bench.address, { width });
    await signIn(page);
    await page.goto("people?q=H-002");
    await page.getByRole("link", { name: "Movement space" }).click();
    await page.locator(".space-floor").first().waitFor({ timeout: 60_000 });
    await sound(page, "space", width);
    const said = page.locator(".said").first();
    await page.locator(".space-floor").first().focus();
    const first = await said.innerText();
    await page.keyboard.press("ArrowRight");
    const second = await said.innerText();
    assert.notEqual(first, second);
    for (let turn = 0; turn < 7; turn += 1) await page.keyboard.press("ArrowRight");
    assert.equal(await said.innerText(), first, "eight steps go once round");
    await page.locator(".sector").nth(2).dispatchEvent("pointerenter");
    assert.notEqual(await said.innerText(), first);
    await context.close();
  }
});
