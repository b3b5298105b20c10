// What hands do: the keyboard alone, a lock, two people at one screen, sending twice, going back.
import assert from "node:assert/strict";
import { after, before, test } from "node:test";
import { browser, footrose, signIn, tabTo, windowOf } from "../harness.mjs";

let bench, chrome;
before(async () => {
  bench = await footrose([]);
  chrome = await browser();
});
after(async () => {
  await chrome?.close();
  await bench?.end();
});

test("the keyboard alone reaches a printed sheet", async () => {
  const { context, page, elsewhere } = await windowOf(chrome, bench.address);
  await page.goto("");
  await tabTo(page, "Your passphrase");
  await page.keyboard.press("Enter");
  await page.getByRole("heading", { name: "Today", level: 1 }).waitFor();
  await tabTo(page, "Skip to the page");
  await tabTo(page, "Find a person");
  await page.keyboard.type("Anselm");
  await page.keyboard.press("Enter");
  await page.getByRole("heading", { name: "Anselm: Findings" }).waitFor();
  await tabTo(page, "Programme");
  await page.keyboard.press("Enter");
  await page.getByRole("heading", { name: "Anselm: Programme" }).waitFor({ timeout: 60_000 });
  await tabTo(page, "Accept");
  await page.keyboard.press("Enter");
  await page.getByRole("link", { name: "The home sheet (PDF)" }).waitFor({ timeout: 60_000 });
  await tabTo(page, "The home sheet (PDF)");
  // The sheet is fetched as the browser would, and looked at here: the viewer of the browser is not ours.
  let fetched = () => {};
  const sheet = new Promise((found) => { fetched = found; });
  await page.route("**/sheet.pdf", async (route) => {
    const answer = await route.fetch();
    fetched({ status: answer.status(), type: answer.headers()["content-type"], body: await answer.body() });
    await route.fulfill({ status: 204 });
  });
  await page.keyboard.press("Enter");
  const { status, type, body } = await sheet;
  assert.equal(status, 200);
  assert.equal(type, "application/pdf");
  assert.ok(body.subarray(0, 5).equals(Buffer.from("%PDF-")), "it is no PDF");
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
  await page.getByRole("heading", { name: "Today", level: 1 }).waitFor();
  await context.close();
});

test("a form that is sent, gone back to and sent again is stored once, and a reload doubles nothing", async () => {
  const { context, page } = await windowOf(chrome, bench.address);
  await signIn(page);
  await page.goto("people?q=H-002");
  await page.getByRole("link", { name: "Home log" }).click();
  const log = page.getByRole("heading", { name: "by telephone" });
  const before = await log.count();
  await page.getByLabel("by telephone").check();
  await page.getByLabel("What was done, and what hurt").fill("All three, nothing hurt.");
  await page.getByText("Not saved yet.").waitFor();
  await page.getByRole("button", { name: "Save the log" }).click();
  await page.getByText("Saved.", { exact: true }).waitFor();
  assert.equal(await log.count(), before + 1);
  await page.reload();
  assert.equal(await log.count(), before + 1);
  await page.goBack();
  await page.getByLabel("by telephone").check();
  await page.getByLabel("What was done, and what hurt").fill("All three, nothing hurt.");
  await page.getByRole("button", { name: "Save the log" }).click();
  await page.waitForLoadState("load");
  await page.goto("people?q=H-002");
  await page.getByRole("link", { name: "Home log" }).click();
  const after = await log.count();
  // A page fetched anew after going back is a new form; the same page sent again is the same entry.
  assert.ok(after <= before + 2, `${after} logs`);
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
