// A tablet of the clinic's network: admitted with a code over TLS, at work, sent away and out; and the screens
// around it, of backups and of a forgotten passphrase.
import assert from "node:assert/strict";
import { mkdirSync, mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { after, before, test } from "node:test";
import { browser, footrose, out, sideways, small, violations, windowOf } from "../harness.mjs";

const name = "Imre Blomqvist";
const passphrase = "gravel lantern seven boats";
/** Widths at which these screens are looked at. */
const looked = [360, 820, 1280];

let bench, chrome, folder, network, fingerprint;
before(async () => {
  folder = mkdtempSync(join(tmpdir(), "network-"));
  mkdirSync(join(folder, "backups"));
  const records = join(folder, "clinic.footrose");
  const args = ["serve", "--clinic", "--address", "127.0.0.1:0", "--records", records, "--name", name];
  bench = await footrose(args, `${passphrase}\n${passphrase}\n`);
  network = /https:\/\/127\.0\.0\.1:\d+\//.exec(bench.said())?.[0];
  fingerprint = /(?:[0-9A-F]{2}:){31}[0-9A-F]{2}/.exec(bench.said())?.[0];
  assert.ok(network && fingerprint, bench.said());
  chrome = await browser();
});
after(async () => {
  await chrome?.close();
  await bench?.end();
  rmSync(folder, { recursive: true });
});

async function signIn(page) {
  await page.goto("sign-in");
  await page.getByLabel("Your name").fill(name);
  await page.getByLabel("Your passphrase").fill(passphrase);
  await page.getByRole("button", { name: "Sign in" }).click();
  await page.getByRole("heading", { name: "Today", level: 1 }).waitFor();
}

/** Pictures of the page that is open at three widths, and what is wrong with it. */
async function look(page, of) {
  const before = page.viewportSize();
  const wrong = [];
  for (const width of looked) {
    await page.setViewportSize({ width, height: 900 });
    await page.screenshot({ path: join(out, `${of}-${width}.png`), fullPage: true });
    const say = (lines) => wrong.push(...lines.map((line) => `${of} at ${width} px: ${line}`));
    say(await violations(page));
    say(await small(page));
    const wider = await sideways(page);
    if (wider > 0) say([`wider than the window by ${wider} px`]);
  }
  await page.setViewportSize(before);
  assert.deepEqual(wrong, []);
}

test("a tablet is admitted with a code, works over TLS, is sent away and out", async () => {
  const machine = await windowOf(chrome, bench.address, { width: 1280 });
  await signIn(machine.page);
  await machine.page.goto("clinic/devices");
  await look(machine.page, "devices-none");
  await machine.page.getByRole("button", { name: "Admit a device" }).click();
  const code = await machine.page.locator(".pair-code").textContent();
  assert.match(code ?? "", /^\d{4} \d{4}$/);
  await machine.page.getByText(fingerprint, { exact: true }).first().waitFor();
  await look(machine.page, "devices-code");

  const tablet = await windowOf(chrome, network, { width: 820, insecure: true });
  const { page } = tablet;
  await page.goto("");
  await page.getByRole("heading", { name: "Admit this device" }).waitFor();
  await look(page, "pair");
  const wrong = code === "0000 0000" ? "0000 0001" : "0000 0000";
  await page.getByLabel("The code").fill(wrong);
  await page.getByLabel("A name for this device").fill("tablet by the window");
  await page.getByRole("button", { name: "Have it admitted" }).click();
  await page.getByText("That is not the code. Type it again; tries left: 4.").waitFor();
  assert.equal(await page.getByLabel("A name for this device").inputValue(), "tablet by the window");
  await look(page, "pair-wrong");
  await page.getByLabel("The code").fill(code);
  await page.getByRole("button", { name: "Have it admitted" }).click();
  await page.getByRole("heading", { name: "This device is admitted" }).waitFor();
  await look(page, "pair-done");
  await page.getByRole("link", { name: "Sign in" }).click();
  await signIn(page);
  assert.ok(await page.evaluate(() => isSecureContext && "getUserMedia" in navigator.mediaDevices), "no camera here");
  const cookies = await tablet.context.cookies();
  assert.equal(cookies.length, 2);
  for (const cookie of cookies) {
    assert.ok(cookie.secure && cookie.httpOnly && cookie.sameSite === "Strict", JSON.stringify(cookie));
    assert.ok(cookie.name.startsWith("__Host-"), cookie.name);
  }
  assert.equal(await page.evaluate(() => document.cookie), "", "a script sees none");
  await page.goto("people/new");
  await page.getByLabel("Name or initials").fill("Marigold Invented");
  await page.getByRole("button", { name: "Add", exact: true }).click();
  await page.getByText("Marigold Invented").first().waitFor();

  await machine.page.goto("people");
  await machine.page.getByText("Marigold Invented").first().waitFor();
  await machine.page.goto("clinic/devices");
  await look(machine.page, "devices-one");
  await machine.page.getByRole("button", { name: "Send away: tablet by the window" }).click();
  await machine.page.getByRole("heading", { name: "Sent away" }).waitFor();
  await look(machine.page, "devices-sent-away");
  // Nobody touches the tablet: what it shows goes by itself.
  await page.getByRole("heading", { name: "Admit this device" }).waitFor({ timeout: 15_000 });
  assert.equal(await page.getByText("Marigold").count(), 0);
  const refused = await page.goto("people");
  assert.equal(refused?.status(), 403);
  await page.getByRole("heading", { name: "Not admitted" }).waitFor();
  await look(page, "pair-not-admitted");
  await page.goBack();
  assert.equal(await page.getByText("Marigold").count(), 0, "the way back shows nothing");
  await machine.page.goto("people");
  await machine.page.getByText("Marigold Invented").first().waitFor();
  const expected = (line) => !/ 403 /.test(line);
  for (const window of [machine, tablet]) {
    assert.deepEqual(window.elsewhere, [], "requests to anywhere else");
    assert.deepEqual(window.complaints.filter(expected), [], "complaints of the browser");
    await window.context.close();
  }
});

test("plain http at the address of the network says to use https", async () => {
  const { context, page } = await windowOf(chrome, network.replace("https", "http"));
  await page.goto("");
  await page.getByText("answers in https only").waitFor();
  await context.close();
});

test("backups are set, made and tried; a folder that is gone is said; a forgotten passphrase has a page", async () => {
  const { context, page, elsewhere, complaints } = await windowOf(chrome, bench.address, { width: 1280 });
  await page.goto("sign-in");
  await page.getByRole("link", { name: "The passphrase is forgotten" }).click();
  await page.getByRole("heading", { name: "Set a new passphrase" }).waitFor();
  await look(page, "recover");
  await page.getByLabel("The recovery key").fill("12345-");
  await page.getByLabel("The name you sign in with").fill(name);
  await page.getByLabel("A new passphrase").fill("four boats seven lanterns");
  await page.getByLabel("The same again").fill("four boats seven lanterns");
  await page.getByRole("button", { name: "Set it" }).click();
  await page.getByText("is not a recovery key").waitFor();
  await look(page, "recover-mend");
  await signIn(page);
  await page.getByText("No folder for backups is chosen").waitFor();
  await look(page, "today-no-backup");
  await page.goto("clinic/backup");
  await page.getByLabel("Folder, on another disk than the records").first().fill(join(folder, "backups"));
  await page.getByRole("button", { name: "Save, and make one now" }).click();
  await page.getByText("The first one was made and read back").waitFor();
  await look(page, "backup-set");
  await page.getByRole("button", { name: /^Try this backup: / }).click();
  await page.getByText("This backup is good.").waitFor();
  await look(page, "backup-tried");
  await page.goto("");
  await page.getByText("Last good backup: just now").waitFor();
  await look(page, "today-backup");
  rmSync(join(folder, "backups"), { recursive: true });
  await page.goto("sign-in");
  await signIn(page);
  await page.waitForFunction(async () => (await (await fetch("/")).text()).includes("No backup can be made by itself"));
  await page.goto("");
  await page.getByText("the folder is not there; create it, or plug the disk in").waitFor();
  await look(page, "today-backup-trouble");
  mkdirSync(join(folder, "backups"));
  assert.deepEqual(elsewhere, []);
  assert.deepEqual(complaints.filter((line) => !/ 422 /.test(line)), []);
  await context.close();
});
