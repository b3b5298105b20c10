// What was typed is never lost and never doubled: a lock in the middle, a reload, back and forward, sending
// twice, handing over, another user.
import assert from "node:assert/strict";
import { after, before, test } from "node:test";
import { browser, chip, entries, footrose, personOf, settled, signIn, windowOf } from "../harness.mjs";

let bench, chrome;
before(async () => {
  bench = await footrose([]);
  chrome = await browser();
});
after(async () => {
  await chrome?.close();
  await bench?.end();
});

async function lock(page) {
  await page.locator(".me > summary").click();
  await page.getByRole("button", { name: "Lock, or change user" }).click();
  await page.getByRole("heading", { name: "Locked" }).waitFor();
}

async function unlock(page) {
  await page.getByLabel("PIN of Tarn").fill("2468");
  await page.keyboard.press("Enter");
}

/** Forms with something half typed: the page, how it is typed, and how it is known again. */
const HALF = [
  ["people/new", (page) => page.getByLabel("Name or initials").fill("Half a na"), (page) => page.getByLabel("Name or initials").inputValue(), "Half a na"],
  ["PERSON/findings", async (page) => {
    await chip(page, "findings.wound_dry", "no").click();
    await page.locator('[name="findings.timed_up_and_go"]').fill("11.5");
  }, async (page) => `${await page.locator('[name="findings.wound_dry"]:checked').inputValue()} ${await page.locator('[name="findings.timed_up_and_go"]').inputValue()}`, "no 11.5"],
  ["PERSON/findings/text", async (page) => {
    const text = page.locator("textarea").first();
    await text.fill(`${await text.inputValue()}\n# half a line`);
  }, async (page) => (await page.locator("textarea").first().inputValue()).endsWith("# half a line"), true],
  ["PERSON/home-log", async (page) => {
    await page.getByLabel("by telephone", { exact: true }).check();
    await page.getByLabel("What was done, and what hurt").fill("Rang to say that");
  }, async (page) => `${await page.getByLabel("by telephone", { exact: true }).isChecked()} ${await page.getByLabel("What was done, and what hurt").inputValue()}`, "true Rang to say that"],
  ["PERSON/adverse", (page) => page.locator("textarea, input[name=what]").first().fill("Slipped on the"), (page) => page.locator("textarea, input[name=what]").first().inputValue(), "Slipped on the"],
  ["PERSON/record", (page) => page.locator("#reason").fill("Spelt wro"), (page) => page.locator("#reason").inputValue(), "Spelt wro"],
  ["PERSON/measures/take/pain_0_10", (page) => page.locator("input.big").first().fill("3"), (page) => page.locator("input.big").first().inputValue(), "3"],
  ["clinic/settings", (page) => page.getByLabel("Its telephone").fill("000 01"), (page) => page.getByLabel("Its telephone").inputValue(), "000 01"],
  ["clinic/accounts", (page) => page.getByLabel("Name", { exact: true }).fill("Somebo"), (page) => page.getByLabel("Name", { exact: true }).inputValue(), "Somebo"],
];

test("a lock in the middle of any form loses nothing that was typed", async () => {
  const { context, page, complaints } = await windowOf(chrome, bench.address);
  await signIn(page);
  const person = await personOf(page, "H-001");
  for (const [path, type, read, wanted] of HALF) {
    const at = path.replace("PERSON", person);
    await page.goto(at);
    await settled(page);
    await type(page);
    await page.getByText("Not saved yet.").waitFor();
    // At once: whatever waits is sent before the lock is.
    await lock(page);
    assert.equal(await page.getByText("Anselm").count(), 0, `${path} shows nothing while locked`);
    await unlock(page);
    await page.waitForURL(new RegExp(`/${at.replaceAll(/[/.]/g, ".")}$`));
    await page.locator(".kept-note").waitFor();
    assert.equal(await read(page), wanted, `${path} after a lock`);
    await page.reload();
    await page.locator(".kept-note").waitFor();
    assert.equal(await read(page), wanted, `${path} after a reload`);
    await page.getByRole("button", { name: "Throw it away" }).click();
    await page.locator(".kept-note").waitFor({ state: "detached" });
    assert.notEqual(await read(page), wanted, `${path} thrown away`);
  }
  assert.deepEqual(complaints, []);
  await context.close();
});

test("another user at the same screen sees nothing of it, and the first finds it again", async () => {
  const { context, page } = await windowOf(chrome, bench.address);
  await signIn(page);
  const PASS = "an invented passphrase";
  await page.goto("clinic/accounts");
  await page.getByLabel("Name", { exact: true }).fill("Osric");
  await page.locator("label", { hasText: "Clinician:" }).first().click();
  await page.getByLabel("Passphrase, typed by the new colleague").fill(PASS);
  await page.getByLabel("The same again").fill(PASS);
  await page.getByRole("button", { name: "Create the account" }).click();
  await page.getByRole("rowheader", { name: "Osric" }).waitFor();
  const person = await personOf(page, "H-004");
  await page.goto(`${person}/home-log`);
  await page.getByLabel("What was done, and what hurt").fill("Only Tarn was told this");
  await lock(page);
  await page.getByRole("link", { name: "Sign in with a passphrase" }).click();
  await page.getByLabel("Your name").fill("Osric");
  await page.getByLabel("Your passphrase").fill(PASS);
  await page.getByRole("button", { name: "Sign in" }).click();
  await page.getByRole("heading", { name: "Today", level: 1 }).waitFor();
  await page.goto(`${person}/home-log`);
  await page.waitForTimeout(500);
  assert.equal(await page.getByLabel("What was done, and what hurt").inputValue(), "");
  await page.locator(".me > summary").click();
  await page.getByRole("button", { name: "Lock, or change user" }).click();
  await unlock(page);
  await page.locator(".kept-note").waitFor();
  assert.equal(await page.getByLabel("What was done, and what hurt").inputValue(), "Only Tarn was told this");
  await page.getByLabel("told at the visit").check();
  await page.getByRole("button", { name: "Save the log" }).click();
  await page.getByText("Saved.", { exact: true }).waitFor();
  await page.goto(`${person}/home-log`);
  await page.waitForTimeout(500);
  assert.equal(await page.locator(".kept-note").count(), 0, "what was saved is no draft any more");
  await context.close();
});

test("taps outlive a reload, a lock and a hand-over, and the lesson is one entry", async () => {
  const { context, page } = await windowOf(chrome, bench.address, { width: 820 });
  await signIn(page);
  const person = await personOf(page, "H-009");
  await page.goto(`${person}/programme`);
  await settled(page);
  await page.getByRole("button", { name: "Accept the first proposal" }).click();
  await page.getByRole("link", { name: "Teach it now" }).click();
  const rows = () => page.locator(".step:not([hidden]) .tap");
  await rows().nth(0).locator("label", { hasText: "Hurt" }).click();
  await rows().nth(0).locator("input[type=number]").fill("3");
  await rows().nth(0).locator("input[type=number]").press("Tab");
  await page.getByText("Every tap is saved.", { exact: true }).waitFor();
  await page.reload();
  assert.ok(await page.locator(".tap input[value=hurt]").first().isChecked());
  assert.equal(await page.locator(".tap input[type=number]").first().inputValue(), "3");
  await rows().nth(1).locator("label", { hasText: "Steady" }).click();
  await page.getByText("Every tap is saved.", { exact: true }).waitFor();
  await lock(page);
  await unlock(page);
  await page.getByText("The lesson goes on: 2 taps are saved.").waitFor();
  await page.getByRole("button", { name: "Hand the screen over" }).click();
  await page.getByRole("heading", { name: "Your exercises" }).waitFor();
  await page.getByRole("button", { name: "Give back" }).click();
  await unlock(page);
  await page.getByText("The lesson goes on: 2 taps are saved.").waitFor();
  await page.goto(`${person}/home-log`);
  await page.getByRole("heading", { name: "taught in the room, not finished" }).waitFor();
  await page.getByRole("link", { name: "Go on teaching" }).click();
  for (;;) {
    for (const row of await rows().all()) if (await row.locator(":checked").count() === 0) await row.locator("label", { hasText: "Steady" }).click();
    if (!await page.getByRole("button", { name: "Next" }).isVisible()) break;
    await page.getByRole("button", { name: "Next" }).click();
  }
  await page.getByLabel("A remark, if there is one").fill("Hurt once, then slower.");
  await page.getByRole("button", { name: "Save what was seen" }).click();
  await page.waitForURL(/home-log/);
  await page.goBack();
  await page.goForward();
  await page.reload();
  const lesson = page.locator("section.log", { hasText: "taught in the room" });
  assert.equal(await lesson.count(), 1);
  assert.match(await lesson.innerText(), /\d+ cm/);
  assert.match(await lesson.innerText(), /hurt, pain 3 of 10/);
  assert.match(await lesson.innerText(), /shown back/);
  assert.equal((await entries(page, person)).teach, 1);
  await context.close();
});

/** Every form that writes: its page, how it is filled, its button, the kind of entry and how many are added. */
const WRITES = [
  ["PERSON/home-log", async (page) => {
    await page.getByLabel("from paper").check();
    await page.getByLabel("What was done, and what hurt").fill("Grid: nine of nine.");
  }, "Save the log", "practice"],
  ["PERSON/findings", (page) => page.locator('[name="findings.timed_up_and_go"]').fill("12.5"), "Save", "case"],
  ["PERSON/findings/text", async (page) => {
    const text = page.locator("textarea").first();
    await text.fill(`${await text.inputValue()}\n# a remark\n`);
  }, /^Save/, "case"],
  ["PERSON/adverse", async (page) => {
    for (const field of await page.locator("form.entry textarea, form.entry input[type=text], form.entry input:not([type])").all()) await field.fill("Slipped on the mat.");
  }, /^Save|^Enter/, "adverse-event"],
  ["PERSON/record", async (page) => {
    await page.getByLabel("Name or initials").fill("Anselm Q.");
    await page.locator("#reason").fill("A letter was added.");
  }, "Save the change", "person"],
  ["PERSON/programme", () => {}, "Accept the first proposal", "programme"],
  ["PERSON/programme", async (page) => {
    await page.locator("details.dose summary").first().click();
    await page.locator("details.dose input[name=repetitions]").first().fill("3");
    await page.locator("details.dose input[name=out]").first().fill("3");
  }, "Save dose and pace", "programme"],
  ["PERSON/programme", (page) => page.locator("details", { hasText: "movements" }).first().locator("summary").first().click(), /^Take out/, "programme"],
  ["PERSON/measures/take/pain_0_10", (page) => page.locator("input.big").first().fill("3"), /^Save/, "measures"],
];

test("back, forward, reload and sending again: every form that writes writes once", async () => {
  const { context, page } = await windowOf(chrome, bench.address);
  await signIn(page);
  const person = await personOf(page, "H-001");
  let before = await entries(page, person);
  for (const [path, type, button, kind] of WRITES) {
    await page.goto(path.replace("PERSON", person));
    await settled(page);
    await type(page);
    // Pressed twice as fast as a hand can.
    await page.getByRole("button", { name: button }).first().dblclick({ noWaitAfter: true }).catch(() => {});
    await page.waitForURL(/saved=1/, { timeout: 120_000 });
    await settled(page);
    const name = `${path}: ${button}`;
    await page.goto(path.replace("PERSON", person));
    await settled(page);
    await page.goBack();
    await settled(page);
    await page.reload();
    await settled(page);
    await page.goBack().catch(() => {});
    await page.goForward().catch(() => {});
    await settled(page);
    const now = await entries(page, person);
    assert.equal(now[kind], (before[kind] ?? 0) + 1, `${name}, back, reload and forward`);
    before = now;
  }
  await context.close();
});

test("a form with something to mend keeps what was typed over a reload and is stored once when mended", async () => {
  const { context, page } = await windowOf(chrome, bench.address);
  await signIn(page);
  const person = await personOf(page, "H-006");
  const before = (await entries(page, person)).practice ?? 0;
  await page.goto(`${person}/home-log`);
  await page.getByLabel("from paper").check();
  await page.getByLabel("Pain before it began").fill("12");
  await page.getByLabel("What was done, and what hurt").fill("Six of nine.");
  await page.getByRole("button", { name: "Save the log" }).click();
  await page.locator(".mend").getByText("accepted: 0 to 10").waitFor();
  await page.waitForTimeout(600);
  await page.goto(`${person}/home-log`);
  await page.locator(".kept-note").waitFor();
  assert.equal(await page.getByLabel("What was done, and what hurt").inputValue(), "Six of nine.");
  await page.getByLabel("Pain before it began").fill("2");
  await page.getByRole("button", { name: "Save the log" }).click();
  await page.getByText("Saved.", { exact: true }).waitFor();
  assert.equal((await entries(page, person)).practice, before + 1);
  // A dose that the rules do not accept says what they do.
  await page.goto(`${person}/programme`);
  await settled(page);
  await page.getByRole("button", { name: "Accept the first proposal" }).click();
  await page.getByRole("heading", { name: "The programme", exact: true }).waitFor({ timeout: 60_000 });
  await page.locator("details.dose summary").first().click();
  await page.locator("details.dose input[name=repetitions]").first().fill("30");
  await page.getByRole("button", { name: "Save dose and pace" }).first().click();
  await page.locator("details.dose .mend").getByText("accepted: 2 to 5").waitFor({ timeout: 60_000 });
  assert.equal(await page.locator("details.dose input[name=repetitions]").first().inputValue(), "30");
  await context.close();
});
