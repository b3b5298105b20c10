// Two clinicians with the same person open: what both write stands, what clashes is said, nothing doubles.
import assert from "node:assert/strict";
import { after, before, test } from "node:test";
import { browser, chip, entries, everything, footrose, personOf, settled, signIn, windowOf } from "../harness.mjs";

const PASSPHRASE = "an invented passphrase";
let bench, chrome;
before(async () => {
  bench = await footrose([]);
  chrome = await browser();
});
after(async () => {
  await chrome?.close();
  await bench?.end();
});

/** A second clinician in a browser of their own. */
async function second(first) {
  await first.goto("clinic/accounts");
  if (await first.getByRole("rowheader", { name: "Osric" }).count() === 0) {
    await first.getByLabel("Name", { exact: true }).fill("Osric");
    await first.locator("label", { hasText: "Clinician:" }).first().click();
    await first.getByLabel("Passphrase, typed by the new colleague").fill(PASSPHRASE);
    await first.getByLabel("The same again").fill(PASSPHRASE);
    await first.getByRole("button", { name: "Create the account" }).click();
    await first.getByRole("rowheader", { name: "Osric" }).waitFor();
  }
  const window = await windowOf(chrome, bench.address, { width: 820 });
  await window.page.goto("sign-in");
  await window.page.getByLabel("Your name").fill("Osric");
  await window.page.getByLabel("Your passphrase").fill(PASSPHRASE);
  await window.page.getByRole("button", { name: "Sign in" }).click();
  await window.page.getByRole("heading", { name: "Today", level: 1 }).waitFor();
  return window;
}

const newest = (files) => {
  const cases = [...files.keys()].filter((name) => name.startsWith("case-")).sort();
  return files.get(cases.at(-1)).toString();
};

test("both enter findings: different ones are both kept, the same one is told to the second and not lost", async () => {
  const { context, page: wren } = await windowOf(chrome, bench.address);
  await signIn(wren);
  const { context: other, page: osric } = await second(wren);
  const person = await personOf(wren, "H-003");
  const before = (await entries(wren, person)).case;
  await wren.goto(`${person}/findings`);
  await osric.goto(`${person}/findings`);

  // Different findings.
  await chip(wren, "findings.pain_at_rest", "2").click();
  await wren.getByRole("button", { name: "Save" }).click();
  await wren.getByRole("heading", { name: "What this changed" }).waitFor({ timeout: 120_000 });
  await chip(osric, "findings.pain_in_movement", "4").click();
  await osric.getByRole("button", { name: "Save" }).click();
  await osric.getByRole("heading", { name: "What this changed" }).waitFor({ timeout: 120_000 });
  let files = await everything(wren, person);
  assert.match(newest(files), /pain_at_rest = (2|\{ value = 2)/);
  assert.match(newest(files), /pain_in_movement = (4|\{ value = 4)/);

  // The same finding: the second is told which, keeps what was typed, and nothing is overwritten.
  await wren.goto(`${person}/findings`);
  await osric.goto(`${person}/findings`);
  await chip(wren, "findings.pain_at_rest", "3").click();
  await wren.getByRole("button", { name: "Save" }).click();
  await wren.getByRole("heading", { name: "What this changed" }).waitFor({ timeout: 120_000 });
  await chip(osric, "findings.pain_at_rest", "1").click();
  await osric.locator('[name="findings.sit_to_stands"]').fill("9");
  await osric.getByRole("button", { name: "Save" }).click();
  const told = osric.locator("form.findings > .mend");
  await told.waitFor();
  assert.match(await told.innerText(), /Pain at rest/);
  assert.match(await told.innerText(), /nobody else changed since you opened this page/);
  assert.equal(await osric.locator('[name="findings.pain_at_rest"]:checked').inputValue(), "1", "what was typed is there");
  assert.equal(await osric.locator('[name="findings.sit_to_stands"]').inputValue(), "9");
  files = await everything(wren, person);
  assert.match(newest(files), /pain_at_rest = (3|\{ value = 3)/, "the first entry stands");
  assert.doesNotMatch(newest(files), /sit_to_stands = (9|\{ value = 9)/, "nothing of a refused form is half written");

  // With the page opened anew it is entered on purpose.
  await osric.goto(`${person}/findings`);
  await osric.getByRole("button", { name: "Throw it away" }).click();
  await osric.locator(".kept-note").waitFor({ state: "detached" });
  assert.equal(await osric.locator('[name="findings.pain_at_rest"]:checked').inputValue(), "3");
  await osric.locator('[name="findings.sit_to_stands"]').fill("9");
  await osric.getByRole("button", { name: "Save" }).click();
  await osric.getByRole("heading", { name: "What this changed" }).waitFor({ timeout: 120_000 });
  files = await everything(wren, person);
  assert.match(newest(files), /sit_to_stands = (9|\{ value = 9)/);
  assert.equal((await entries(wren, person)).case, before + 4, "four versions, none twice");
  await context.close();
  await other.close();
});

test("both log, both accept, both teach: every entry stands once and each sees the other's", async () => {
  const { context, page: wren } = await windowOf(chrome, bench.address);
  await signIn(wren);
  const { context: other, page: osric } = await second(wren);
  const person = await personOf(wren, "H-009");
  const before = await entries(wren, person);
  for (const page of [wren, osric]) await page.goto(`${person}/home-log`);
  for (const [page, words] of [[wren, "Told Wren of the stairs."], [osric, "Told Osric of the garden."]]) {
    await page.getByLabel("told at the visit").check();
    await page.getByLabel("What was done, and what hurt").fill(words);
  }
  await Promise.all([wren, osric].map((page) => page.getByRole("button", { name: "Save the log" }).click()));
  for (const page of [wren, osric]) {
    await page.waitForURL(/saved=1/);
    await page.reload();
    await page.getByText("Told Wren of the stairs.").waitFor();
    await page.getByText("Told Osric of the garden.").waitFor();
  }
  assert.equal((await entries(wren, person)).practice, (before.practice ?? 0) + 2);

  // One accepts while the other has the page open; the other's step is asked of what stands now.
  for (const page of [wren, osric]) {
    await page.goto(`${person}/programme`);
    await settled(page);
  }
  await wren.getByRole("button", { name: "Accept the first proposal" }).click();
  await wren.getByRole("heading", { name: "The programme", exact: true }).waitFor({ timeout: 60_000 });
  await osric.goto(`${person}/teach`);
  await wren.goto(`${person}/teach`);
  const tap = (page, place, words) => page.locator(".step:not([hidden]) .tap").nth(place).locator("label", { hasText: words }).click();
  const directions = await wren.locator(".step:not([hidden]) .tap").count();
  assert.ok(directions >= 2, `${directions} directions`);
  await tap(wren, 0, "Steady");
  await wren.getByText("Every tap is saved.", { exact: true }).waitFor();
  await tap(osric, 1, "Corrected");
  await osric.getByText("Every tap is saved.", { exact: true }).waitFor();
  await wren.reload();
  await wren.getByText("The lesson goes on: 2 taps are saved.").waitFor();
  for (const page of [wren, osric]) {
    while (await page.getByRole("button", { name: "Next" }).isVisible()) await page.getByRole("button", { name: "Next" }).click();
    await page.getByRole("button", { name: "Save what was seen" }).click();
    await page.getByRole("heading", { name: "taught in the room" }).waitFor();
  }
  assert.equal(await osric.getByRole("heading", { name: "taught in the room" }).count(), 1, "one lesson of two hands");
  assert.equal((await entries(wren, person)).teach, 1);
  await context.close();
  await other.close();
});
