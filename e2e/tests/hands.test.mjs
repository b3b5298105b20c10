// What hands do: the keyboard alone, a lock, two people at one screen, sending twice, going back.
import assert from "node:assert/strict";
import { after, before, test } from "node:test";
import { browser, footrose, settled, signIn, tabTo, tabUntil, windowOf } from "../harness.mjs";

let bench, chrome;
before(async () => {
  bench = await footrose([]);
  chrome = await browser();
});
after(async () => {
  await chrome?.close();
  await bench?.end();
});

test("the keyboard alone goes from signing in through every tab to a printed sheet", async () => {
  const { context, page, elsewhere } = await windowOf(chrome, bench.address);
  const heading = (name, level) => page.getByRole("heading", { name, level }).first().waitFor({ timeout: 120_000 });
  await page.goto("");
  await tabTo(page, "Your passphrase");
  await page.keyboard.press("Enter");
  await heading("Today", 1);
  await tabTo(page, "Skip to the page");
  await tabTo(page, "Find a person");
  await page.keyboard.type("Anselm");
  await page.keyboard.press("Enter");
  await heading("Anselm: Findings", 1);

  // Findings: arrow keys choose, Enter in a field saves.
  await tabTo(page, "Timed up and go");
  await page.keyboard.type("14");
  await page.keyboard.press("Enter");
  await heading("What this changed", 2);

  // Movement space: the floor is one stop, arrow keys go round it.
  await tabTo(page, "Movement space");
  await page.keyboard.press("Enter");
  await heading("Anselm: Movement space", 1);
  await settled(page);
  await tabUntil(page, (one) => one.matches(".space-floor"));
  const before = await page.locator(".said").first().innerText();
  await page.keyboard.press("ArrowRight");
  assert.notEqual(await page.locator(".said").first().innerText(), before);

  // Programme: the distance by keys, then a proposal.
  await tabTo(page, "Programme", { from: "top" });
  await page.keyboard.press("Enter");
  await heading("Anselm: Programme", 1);
  await settled(page);
  await tabUntil(page, (one) => one.id === "handle");
  const far = await page.locator("#cm").inputValue();
  await page.keyboard.press("ArrowUp");
  assert.equal(await page.locator("#cm").inputValue(), String(Number(far) + 1));
  await tabUntil(page, (one) => one.getAttribute("aria-label") === "Accept the first proposal");
  await page.keyboard.press("Enter");
  await heading("The programme", 2);
  await tabTo(page, "Change dose and pace");
  await page.keyboard.press("Enter");
  await tabTo(page, "Repetitions of each direction");
  await page.keyboard.press("Control+A");
  await page.keyboard.type("3");
  await page.keyboard.press("Enter");
  await page.getByText("3 times each direction").first().waitFor({ timeout: 60_000 });

  // Teach: space chooses, the pager goes on.
  await tabTo(page, "Teach it now");
  await page.keyboard.press("Enter");
  await page.locator(".step:not([hidden])").waitFor();
  await tabUntil(page, (one) => one instanceof HTMLInputElement && one.type === "radio");
  await page.keyboard.press("Space");
  await page.getByText("Every tap is saved.", { exact: true }).waitFor();
  for (let left = 0; left < 12 && await page.getByRole("button", { name: "Next" }).isVisible(); left += 1) {
    await tabTo(page, "Next");
    await page.keyboard.press("Enter");
  }
  await tabTo(page, "Save what was seen");
  await page.keyboard.press("Enter");
  await heading("taught in the room", 2);

  // Home log.
  await tabUntil(page, (one) => one instanceof HTMLInputElement && one.name === "source");
  await page.keyboard.press("Space");
  await tabTo(page, "What was done, and what hurt");
  await page.keyboard.type("By the keys alone.");
  await tabTo(page, "Save the log");
  await page.keyboard.press("Enter");
  await page.getByText("By the keys alone.", { exact: true }).waitFor();

  // Measures, letters and the record.
  await tabTo(page, "Measures", { from: "top" });
  await page.keyboard.press("Enter");
  await heading("Anselm: Measures", 1);
  await settled(page);
  await tabTo(page, "Letters", { from: "top" });
  await page.keyboard.press("Enter");
  await heading("Anselm: Letters", 1);
  await tabTo(page, "Record", { from: "top" });
  await page.keyboard.press("Enter");
  await heading("Anselm: Record", 1);

  await tabTo(page, "Programme", { from: "top" });
  await page.keyboard.press("Enter");
  await heading("The programme", 2);
  await tabTo(page, "Paper");
  await page.keyboard.press("ArrowDown");
  await tabTo(page, "The home sheet (PDF)");
  // The sheet is fetched as the browser would, and looked at here: the viewer of the browser is not ours.
  let fetched = () => {};
  const sheet = new Promise((found) => { fetched = found; });
  await page.route("**/sheet.pdf*", async (route) => {
    const answer = await route.fetch();
    fetched({ status: answer.status(), type: answer.headers()["content-type"], body: await answer.body() });
    await route.fulfill({ status: 204 });
  });
  await page.keyboard.press("Enter");
  const { status, type, body } = await sheet;
  assert.equal(status, 200);
  assert.equal(type, "application/pdf");
  assert.ok(body.subarray(0, 5).equals(Buffer.from("%PDF-")), "it is no PDF");
  assert.match(body.toString("latin1"), /\/MediaBox\s*\[0 0 612/, "the paper that was chosen");
  assert.deepEqual(elsewhere, []);
  await context.close();
});

test("a locked screen shows nothing, back or forward, and the PIN opens it", async () => {
  const { context, page } = await windowOf(chrome, bench.address);
  await signIn(page);
  await page.goto("people?q=H-001");
  await page.getByText("Tarn", { exact: true }).click();
  await page.getByRole("button", { name: "Lock, or change user" }).click();
  await page.getByRole("heading", { name: "Locked" }).waitFor();
  await page.goBack();
  await page.getByRole("heading", { name: "Locked" }).waitFor();
  assert.equal(await page.getByText("Anselm").count(), 0);
  await page.getByLabel("PIN of Tarn").fill("1111");
  await page.keyboard.press("Enter");
  await page.getByText("tries left: 2").waitFor();
  await page.getByLabel("PIN of Tarn").fill("2468");
  await page.keyboard.press("Enter");
  // One comes back to where one was.
  await page.getByRole("heading", { name: "Anselm: Findings", level: 1 }).waitFor();
  await context.close();
});

test("the screen blanks with F9 and wipes with F8, and comes back", async () => {
  const { context, page } = await windowOf(chrome, bench.address);
  await signIn(page);
  await page.keyboard.press("F9");
  await page.getByRole("dialog").waitFor();
  await page.waitForTimeout(300);
  await page.keyboard.press("x");
  await page.getByRole("dialog").waitFor({ state: "detached" });
  await page.keyboard.press("F8");
  await page.getByText("Wipe the screen now").waitFor();
  await page.keyboard.press("Escape");
  await page.getByRole("dialog").waitFor({ state: "detached" });
  await context.close();
});
