// The practice page on a phone with no network: a whole session, closing in the middle, two programmes, erasing.
import assert from "node:assert/strict";
import { execFileSync } from "node:child_process";
import { createServer } from "node:http";
import { mkdtempSync, readFileSync, statSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { dirname, join } from "node:path";
import { fileURLToPath } from "node:url";
import { after, before, test } from "node:test";
import { browser, out, sideways, small, violations } from "../harness.mjs";

const root = join(dirname(fileURLToPath(import.meta.url)), "../..");
const program = process.env.FOOTROSE ?? join(root, "target/debug/footrose");
const folder = mkdtempSync(join(tmpdir(), "footrose-page-"));
const DAY = "2026-02-04";

/** The page of a case of ours, its file and its programme. */
function made(name, more = [], where = folder) {
  const json = execFileSync(program, ["page", join(root, "cases", `${name}.toml`), "--day", DAY, "--out", where, "--json", ...more]);
  const [html, programme] = JSON.parse(json.toString()).files;
  return { html, programme: JSON.parse(readFileSync(programme, "utf8")) };
}

let chrome, mechanic, baker;
before(async () => {
  chrome = await browser();
  mechanic = made("01-lighthouse-mechanic");
  baker = made("03-baker");
});
after(async () => { await chrome?.close(); });

/** A phone: 360 px, offline, its clock in our hands. */
async function phone({ width = 360, height = 740, day = DAY, time = "09:00", ...more } = {}) {
  const context = await chrome.newContext({ viewport: { width, height }, hasTouch: true, ...more });
  await context.setOffline(true);
  const complaints = [];
  const asked = [];
  context.on("request", (request) => {
    if (!request.url().startsWith("file:") && !request.url().startsWith("data:") && !request.url().startsWith("blob:")) asked.push(request.url());
  });
  const open = async (file, { on = day, at = time } = {}) => {
    const page = await context.newPage();
    page.on("pageerror", (error) => complaints.push(String(error)));
    page.on("console", (message) => { if (message.type() === "error") complaints.push(message.text()); });
    await page.clock.install({ time: new Date(`${on}T${at}:00`) });
    await page.goto(file.startsWith("http") ? file : `file://${file}`);
    await page.locator("main.home, main.read").waitFor();
    return page;
  };
  return { context, open, complaints, asked };
}

const button = (page, name) => page.getByRole("button", { name, exact: true });
const heading = (page) => page.locator("main h1").textContent();
const kind = (page) => page.locator("main").getAttribute("class");

/** From the start to the first exercise. */
async function begin(page, pain = "1") {
  await button(page, "Start").click();
  if (await page.getByRole("heading", { name: "Keep to this" }).count()) await button(page, "Go on").click();
  await page.getByRole("heading", { name: "How sore are you now?" }).waitFor();
  await button(page, pain).click();
}

/** Lets the page go on by itself until it shows one of these screens. */
async function until(page, ...kinds) {
  for (let seconds = 0; seconds < 400; seconds += 1) {
    const now = await kind(page);
    if (kinds.some((one) => now.split(" ").includes(one))) return now;
    if (now === "intro") await button(page, "I am ready").click();
    else await page.clock.runFor(1000);
  }
  throw new Error(`still at ${await kind(page)}: ${await heading(page)}`);
}

/** The log as "Save a copy" gives it. */
async function copied(page) {
  await button(page, "My log").click();
  const [download] = await Promise.all([page.waitForEvent("download"), button(page, "Save a copy").click()]);
  const log = JSON.parse(readFileSync(await download.path(), "utf8"));
  await button(page, "Back").click();
  return log;
}

/** Everything a person of 75 with a small phone must be able to rely on, on the screen of now. */
async function sound(page, name) {
  await page.screenshot({ path: join(out, `practice-${name}.png`), fullPage: true });
  assert.deepEqual(await violations(page), [], name);
  assert.equal(await sideways(page), 0, `${name} scrolls sideways`);
  assert.deepEqual(await small(page), [], name);
}

test("one file below a megabyte that may ask for nothing", () => {
  for (const { html } of [mechanic, baker]) {
    assert.ok(statSync(html).size < 1_000_000, `${statSync(html).size} bytes`);
    const text = readFileSync(html, "utf8");
    const policy = /http-equiv="Content-Security-Policy" content="([^"]+)"/.exec(text)[1];
    assert.match(policy, /default-src 'none'/);
    assert.doesNotMatch(policy, /unsafe|http|connect-src/);
    assert.doesNotMatch(text, /style="| on(click|load)=/);
  }
});

test("a whole session from a file: pain in two directions, the rule at once, a log that says what was said", async () => {
  const { context, open, complaints, asked } = await phone();
  const page = await open(mechanic.html);
  await sound(page, "home");
  await begin(page, "2");
  await sound(page, "intro");
  const [first] = mechanic.programme.exercises;
  const cells = first.limbs.flatMap((limb) => limb.cells.map((cell) => ({ ...cell, mover: limb.mover })));

  // The very first direction hurts while it is done: one tap anywhere.
  await until(page, "move");
  await page.clock.runFor(5000);
  await sound(page, "move");
  await page.locator(".floor").click();
  assert.equal(await heading(page), "You said: that hurt.");
  const shorter = Math.floor(cells[0].cm * 0.75);
  await page.getByText(`Go less far this way now: ${shorter} cm.`).waitFor();
  await sound(page, "hurt");
  await button(page, "4").click();

  // After the round, a second one is marked on the floor.
  await until(page, "ask");
  await sound(page, "ask");
  await button(page, "Something else hurt").click();
  while ((await kind(page)) === "mark") await button(page, "That is all").click();
  assert.equal(await heading(page), "Did anything hurt more than before?", "nothing marked is no answer");
  await button(page, "Something else hurt").click();
  await sound(page, "mark");
  await page.locator(".way").first().click();
  assert.equal(await page.locator(".way").first().getAttribute("aria-pressed"), "true");
  while ((await kind(page)) === "mark") await button(page, "That is all").click();
  assert.equal(await heading(page), "You said: that hurt.");
  await button(page, "Go on without a number").click();
  for (;;) {
    await until(page, "ask");
    if ((await heading(page)) === "How hard was it?") break;
    await page.getByRole("button", { name: /^Nothing (else )?hurt$/ }).click();
  }
  await sound(page, "effort");
  await button(page, "5").click();
  assert.equal(await heading(page), "You are done. Your log is saved.");
  await page.getByText("More than one way hurt.").waitFor();
  await sound(page, "finished");
  await button(page, "Close").click();

  const log = await copied(page);
  assert.equal(log.mark, mechanic.programme.mark);
  const [session] = log.sessions;
  assert.equal(session.on, DAY);
  assert.equal(session.pain_before, 2);
  assert.equal(session.effort, 5);
  assert.equal(session.stopped, null);
  assert.deepEqual(session.cells[0][1].done, { pain: 4, rung: "whole" });
  const hurt = session.cells.filter(([, { done }]) => done.pain !== 0);
  assert.equal(hurt.length, 2);
  assert.equal(hurt[1][1].done.pain, null);
  const total = mechanic.programme.exercises.flatMap((e) => e.limbs.flatMap((l) => l.cells)).length;
  assert.equal(session.cells.length, total);

  // The next mornings: the question of the morning after, and the same direction hurts again and again.
  await page.close();
  for (const [day, cm, rule] of [
    ["2026-02-05", shorter, "Go half as far, slowly. Hold on with both hands."],
    ["2026-02-06", Math.floor(cells[0].cm * 0.5), "Leave this way out now."],
  ]) {
    const next = await open(mechanic.html, { on: day });
    await button(next, "Start").click();
    await next.getByRole("heading", { name: /^How was your joint on the morning after/ }).waitFor();
    await sound(next, "morning");
    await button(next, "The same").click();
    await button(next, "0").click();
    await until(next, "move");
    assert.match(await next.locator(".floor").getAttribute("aria-label"), new RegExp(`\\b${cm} cm`));
    await sound(next, `move-${cm}`);
    await next.locator("[data-hurt]").click();
    await next.getByText(rule, { exact: true }).waitFor();
    await sound(next, `hurt-${cm}`);
    await button(next, "6").click();
    await button(next, "Pause").click();
    await button(next, "End for today").click();
    await button(next, "No answer").click();
    await next.close();
  }
  const last = await open(mechanic.html, { on: "2026-02-07" });
  await button(last, "Start").click();
  await button(last, "The same").click();
  await button(last, "0").click();
  await until(last, "move");
  assert.match(await last.locator(".floor").getAttribute("aria-label"), /^The floor from above\. You face up\. RIGHT leg moves/);
  await last.close();
  const after = await open(mechanic.html, { on: "2026-02-07" });
  const rungs = (await copied(after)).sessions.map((one) => one.cells[0][1].done);
  assert.deepEqual(rungs, [{ pain: 4, rung: "whole" }, { pain: 6, rung: "shortened" }, { pain: 6, rung: "left_out" }]);
  assert.deepEqual(complaints, []);
  assert.deepEqual(asked, []);
  await context.close();
});

test("a stop sign is one tap away, says what to do and whom to call, and ends the day", async () => {
  const { context, open, complaints } = await phone();
  const page = await open(mechanic.html);
  await begin(page);
  await until(page, "move");
  await button(page, "Stop signs").click();
  await sound(page, "signs");
  await button(page, "Close").click();
  assert.equal(await heading(page), "Paused");
  await sound(page, "paused");
  await button(page, "Stop signs").click();
  await page.locator('[data-sign="unwell"]').click();
  assert.equal(await heading(page), "Stop now.");
  await page.getByText("000 0100 (invented)").waitFor();
  await page.getByText("not written here").first().waitFor();
  await sound(page, "stopped");
  await button(page, "Close").click();
  await page.getByText("You had a stop sign today. Rest now.").waitFor();
  assert.equal(await button(page, "Start").count(), 0);
  assert.equal((await copied(page)).sessions[0].stopped, "unwell");
  assert.deepEqual(complaints, []);
  await context.close();
});

test("an emergency sign ends the session with the number to call, a mistake is taken back, a grave sign asks next time", async () => {
  const { context, open } = await phone();
  const page = await open(mechanic.html);
  await begin(page);
  await until(page, "move");
  await button(page, "Stop signs").click();
  await page.locator('[data-sign="emergency"]').click();
  assert.equal(await heading(page), "Call the emergency number now.");
  await sound(page, "emergency");
  await button(page, "I tapped this by mistake").click();
  assert.equal(await heading(page), "Paused");
  await button(page, "Stop signs").click();
  await page.locator('[data-sign="seen_today"]').click();
  assert.equal(await heading(page), "Stop now. Get seen today.");
  await page.close();
  const later = await open(mechanic.html, { on: "2026-02-06" });
  await button(later, "Start").click();
  await later.getByText("Did a doctor or your therapist say you may go on?").waitFor();
  await button(later, "Not yet").click();
  await later.getByRole("heading", { name: "Whom to call" }).waitFor();
  await context.close();
});

test("closed in the middle, it goes on where it stopped and asks what was not said", async () => {
  const { context, open } = await phone();
  const page = await open(mechanic.html);
  await begin(page);
  await until(page, "move");
  await page.clock.runFor(3000 + 6000);
  const where = await page.locator("header .where").textContent();
  await page.close();
  const again = await open(mechanic.html);
  await again.getByText("You stopped in the middle.").waitFor();
  await sound(again, "middle");
  await button(again, "Go on where you stopped").click();
  assert.equal(await heading(again), "Did anything hurt more than before?");
  await button(again, "Nothing hurt").click();
  assert.equal(await again.locator("header .where").textContent(), where);
  // Laid aside for good instead: the next day the log keeps what was done, and asks first.
  await until(again, "move");
  await again.clock.runFor(9000);
  await again.close();
  const next = await open(mechanic.html, { on: "2026-02-05" });
  await button(next, "Start").click();
  await next.getByRole("heading", { name: "Last time: did anything hurt more than before?" }).waitFor();
  await button(next, "I do not know").click();
  await next.close();
  const later = await open(mechanic.html, { on: "2026-02-05" });
  const log = await copied(later);
  const pains = log.sessions[0].cells.map(([, { done }]) => done.pain);
  assert.ok(pains.includes(null), `${pains}`);
  await context.close();
});

test("erasing takes the log off the phone, undo brings it back while the page is open", async () => {
  const { context, open } = await phone();
  const page = await open(mechanic.html);
  const stored = () => page.evaluate(() => Object.keys(localStorage).length);
  await begin(page);
  await button(page, "Stop signs").click();
  await page.locator('[data-sign="swelling"]').click();
  await button(page, "Close").click();
  assert.equal(await stored(), 1);
  await button(page, "My log").click();
  await sound(page, "log");
  await button(page, "Erase my log").click();
  await page.getByText("Your log is erased.").waitFor();
  assert.equal(await stored(), 0);
  await button(page, "Undo").click();
  await button(page, "Save a copy").waitFor();
  assert.equal(await stored(), 1);
  await button(page, "Erase my log").click();
  await page.getByText("Your log is erased.").waitFor();
  await page.close();
  const again = await open(mechanic.html);
  await button(again, "My log").click();
  await again.getByText("Nothing is in your log yet.").waitFor();
  await context.close();
});

test("two programmes on one phone do not see each other's logs, and what is kept cannot be read", async () => {
  const { context, open } = await phone();
  const page = await open(mechanic.html);
  await begin(page);
  await button(page, "Stop signs").click();
  await page.locator('[data-sign="swelling"]').click();
  const kept = await page.evaluate(() => JSON.stringify(localStorage));
  assert.doesNotMatch(kept, /swelling|Anselm|sessions/);
  await page.close();
  const other = await open(baker.html);
  assert.equal(await other.evaluate(() => Object.keys(localStorage).length), 1, "one store for all files, as expected");
  await button(other, "My log").click();
  await other.getByText("Nothing is in your log yet.").waitFor();
  await context.close();
});

test("after the last day there is a number to call and no start; the log stays", async () => {
  const { context, open } = await phone();
  const page = await open(mechanic.html);
  await begin(page);
  await button(page, "Stop signs").click();
  await page.locator('[data-sign="swelling"]').click();
  await page.close();
  const past = new Date(Date.parse(mechanic.programme.until) + 86_400_000).toISOString().slice(0, 10);
  const after = await open(mechanic.html, { on: past });
  await after.getByText("Call the clinic before you go on.").waitFor();
  assert.equal(await button(after, "Start").count(), 0);
  await sound(after, "over");
  assert.equal((await copied(after)).sessions.length, 1);
  const early = await open(mechanic.html, { on: "2026-02-01" });
  await early.getByText("Check the date on your phone.").waitFor();
  await context.close();
});

test("strong pain before the start ends in rest and a call, unless the therapist said otherwise", async () => {
  const { context, open } = await phone();
  const page = await open(mechanic.html);
  await begin(page, "8");
  assert.equal(await heading(page), "That is a lot of pain.");
  await sound(page, "strong");
  await button(page, "I will rest today").click();
  await page.getByText("Rest today.").waitFor();
  const [session] = (await copied(page)).sessions;
  assert.deepEqual([session.pain_before, session.cells], [8, []]);
  await context.close();
});

test("the code for the clinic stands large on white, with letters to read out, and asks what is open first", async () => {
  const { context, open, complaints } = await phone({ colorScheme: "dark" });
  const page = await open(mechanic.html);
  await button(page, "Code for the clinic").click();
  await page.getByText("Do one session first. Then the code comes.").waitFor();
  await button(page, "Back").click();
  await begin(page);
  await until(page, "move");
  await page.clock.runFor(9000);
  await button(page, "Stop signs").click();
  await page.locator('[data-sign="swelling"]').click();
  await button(page, "Close").click();
  await button(page, "Code for the clinic").click();
  await page.getByRole("heading", { name: "Last time: did anything hurt more than before?" }).waitFor();
  await button(page, "Nothing hurt").click();
  assert.match(await page.locator(".typed").textContent(), /^[0-9A-Z]{4}(-[0-9A-Z]{4}){3}$/);
  const box = await page.locator(".qr").boundingBox();
  assert.ok(box.width >= 320, `${box.width} px of 360`);
  await sound(page, "code");
  assert.deepEqual(complaints, []);
  await context.close();
});

test("a worse morning means rest the day after", async () => {
  const { context, open } = await phone();
  const page = await open(mechanic.html);
  await begin(page);
  await until(page, "move");
  await page.clock.runFor(9000);
  await button(page, "Pause").click();
  await button(page, "End for today").click();
  await button(page, "Nothing hurt").click();
  await button(page, "No answer").click();
  await page.close();
  const next = await open(mechanic.html, { on: "2026-02-05" });
  await button(next, "Start").click();
  await button(next, "Worse").click();
  await sound(next, "worse");
  await button(next, "3").click();
  assert.equal(await heading(next), "Rest today. Next time you go less far.");
  await button(next, "Close").click();
  assert.equal(await button(next, "Start").count(), 0);
  assert.deepEqual((await copied(next)).sessions[0].morning, { worse: 3 });
  await context.close();
});

test("the keyboard alone goes through, in landscape, in the dark, with little motion, at twice the size", async () => {
  for (const [name, more] of Object.entries({
    landscape: { width: 740, height: 360 },
    dark: { colorScheme: "dark" },
    still: { reducedMotion: "reduce" },
    zoomed: { width: 180, height: 370 },
  })) {
    const { context, open } = await phone(more);
    const page = await open(mechanic.html);
    const press = async (label) => {
      for (let k = 0; k < 40; k += 1) {
        await page.keyboard.press("Tab");
        if ((await page.evaluate(() => document.activeElement.textContent)) === label) {
          await page.keyboard.press("Enter");
          return;
        }
      }
      throw new Error(`"${label}" was not reached`);
    };
    await sound(page, `home-${name}`);
    await press("Start");
    if (await page.getByRole("heading", { name: "Keep to this" }).count()) await press("Go on");
    await sound(page, `pain-${name}`);
    await press("0");
    await press("I am ready");
    await sound(page, `limb-${name}`);
    await press("I am ready");
    await page.clock.runFor(5000);
    await sound(page, `move-${name}`);
    // The button that says that it hurt has the focus from the start.
    await page.keyboard.press("Enter");
    assert.equal(await heading(page), "You said: that hurt.");
    await context.close();
  }
});

/** The page of a case of ours with an order more. */
function ordered(name, order) {
  const where = mkdtempSync(join(tmpdir(), "footrose-page-"));
  const file = join(where, `${name}.toml`);
  writeFileSync(file, `${readFileSync(join(root, "cases", `${name}.toml`), "utf8")}\n[[orders]]\n${order}\n`);
  const json = execFileSync(program, ["page", file, "--day", "2026-02-11", "--out", where, "--json"]);
  const [html, programme] = JSON.parse(json.toString()).files;
  return { html, programme: JSON.parse(readFileSync(programme, "utf8")) };
}

test("pain that an order accepts is said, keeps its distance, and counts above its figure; a patient's word accepts nothing", async () => {
  const accepts = (known) => `limit = "pain_up_to"\npain = 4\nby = "Tarn, physiotherapist"\nknown = "${known}"\nfrom = 2026-02-01`;
  const { html, programme } = ordered("07-fell-runner", accepts("spoken_to_team"));
  const { context, open, complaints } = await phone({ day: "2026-02-11" });
  const page = await open(html);
  await button(page, "Start").click();
  await page.getByText("Pain up to 4 of 10 is all right for you.").waitFor();
  await sound(page, "pain-accepted-rule");
  await button(page, "Go on").click();
  await button(page, "1").click();
  await until(page, "move");
  await page.clock.runFor(5000);
  await page.locator("[data-hurt]").click();
  await page.getByText("Up to 4 is all right for you.").waitFor();
  await sound(page, "pain-accepted-ask");
  await button(page, "3").click();
  assert.equal(await heading(page), "That is all right for you.");
  await sound(page, "pain-accepted");
  await button(page, "Go on").click();
  await until(page, "move");
  await page.locator("[data-hurt]").click();
  await button(page, "6").click();
  await page.getByText(/^Go less far this way now: /).waitFor();
  await button(page, "Go on").click();
  await button(page, "Pause").click();
  await button(page, "End for today").click();
  while ((await heading(page)) !== "How hard was it?") await page.getByRole("button", { name: /^Nothing (else )?hurt$/ }).click();
  await button(page, "5").click();
  await page.getByText("Something hurt. Tell us at your next visit.").waitFor();
  await button(page, "Close").click();
  const [session] = (await copied(page)).sessions;
  const pains = session.cells.map(([, { done }]) => done.pain);
  assert.deepEqual(pains.filter((pain) => pain > 0), [3, 6]);
  assert.equal(session.cells.find(([, { done }]) => done.pain === 3)[1].done.rung, "whole");
  assert.ok(!JSON.stringify(programme).includes("accepted"), "the programme of the log knows nothing of it");
  assert.deepEqual(complaints, []);
  await context.close();

  const said = ordered("07-fell-runner", accepts("patient_says"));
  assert.doesNotMatch(readFileSync(said.html, "utf8"), /"acceptedPain":\{/);
});

test("a direction that stays closed is drawn as a bracket and named where the leg's turn begins", async () => {
  const { context, open } = await phone();
  const page = await open(mechanic.html);
  await begin(page);
  await until(page, "limb");
  assert.ok(await page.locator(".floor .shut").count() >= 3, "crossings are closed after a posterior approach");
  await page.getByText(/^Do not go: /).waitFor();
  assert.match(await page.locator(".floor").getAttribute("aria-label"), / Do not go: /);
  await sound(page, "limb-closed");
  await context.close();
});

test("every language from its own page, with no word of another, and the called order", async () => {
  for (const [language, start] of [["fr", "Commencer"], ["es", "Empezar"]]) {
    const { html, programme } = made("01-lighthouse-mechanic", ["--language", language, "--order", "called", "--seed", "9"],
      mkdtempSync(join(tmpdir(), "footrose-page-")));
    assert.equal(programme.exercises[0].order, "called");
    assert.equal(programme.exercises[0].seed, 9);
    const { context, open, complaints } = await phone();
    const page = await open(html);
    await sound(page, `home-${language}`);
    await button(page, start).click();
    const rules = page.locator("main.read");
    if (await rules.count()) {
      await sound(page, `rules-${language}`);
      await page.locator("main .act").click();
    }
    await page.locator(".numbers button").nth(1).click();
    await sound(page, `intro-${language}`);
    await page.locator("main .act").click();
    await page.clock.runFor(13_000);
    await sound(page, `move-${language}`);
    assert.doesNotMatch(await page.locator("body").innerText(), /\b(your|foot|leg|the)\b/i);
    assert.equal(await page.evaluate(() => document.documentElement.lang), language);
    assert.deepEqual(complaints, []);
    await context.close();
  }
});

test("from a plain server it does the same as from a file", async () => {
  const server = createServer((request, answer) => {
    answer.setHeader("content-type", "text/html; charset=utf-8");
    answer.end(readFileSync(mechanic.html));
  });
  await new Promise((ready) => { server.listen(0, "127.0.0.1", ready); });
  const context = await chrome.newContext({ viewport: { width: 360, height: 740 } });
  const page = await context.newPage();
  const complaints = [];
  page.on("pageerror", (error) => complaints.push(String(error)));
  page.on("console", (message) => { if (message.type() === "error") complaints.push(message.text()); });
  await page.clock.install({ time: new Date(`${DAY}T09:00:00`) });
  await page.goto(`http://127.0.0.1:${server.address().port}/`);
  await context.setOffline(true);
  await begin(page);
  await until(page, "move");
  await page.clock.runFor(8000);
  await button(page, "Stop signs").click();
  await page.locator('[data-sign="pain_stays"]').click();
  await button(page, "Close").click();
  assert.equal((await copied(page)).sessions[0].stopped, "pain_stays");
  assert.deepEqual(complaints, []);
  await context.close();
  server.close();
});

test("the site knows nobody; with the address it shows this person's distances and a general figure, offline too", async () => {
  const dir = mkdtempSync(join(tmpdir(), "footrose-site-"));
  const asked = [];
  const server = createServer((request, answer) => {
    asked.push(request.url);
    const name = request.url === "/" ? "index.html" : request.url.slice(1).split("?")[0];
    const type = { html: "text/html; charset=utf-8", js: "text/javascript", webmanifest: "application/manifest+json", svg: "image/svg+xml" };
    try {
      answer.setHeader("content-type", type[name.split(".").at(-1)]);
      answer.end(readFileSync(join(dir, name)));
    } catch {
      answer.statusCode = 404;
      answer.end();
    }
  });
  await new Promise((ready) => { server.listen(0, "127.0.0.1", ready); });
  const at = `http://127.0.0.1:${server.address().port}/`;
  const said = execFileSync(program, ["practice-site", dir, "--for", join(root, "cases/01-lighthouse-mechanic.toml"),
    "--address", at, "--day", DAY, "--json"]);
  const { address } = JSON.parse(said.toString());
  assert.ok(address.startsWith(`${at}#`), address);
  assert.doesNotMatch(readFileSync(join(dir, "index.html"), "utf8"), /Anselm/);
  const context = await chrome.newContext({ viewport: { width: 360, height: 740 } });
  const page = await context.newPage();
  const complaints = [];
  page.on("pageerror", (error) => complaints.push(String(error)));
  page.on("console", (message) => { if (message.type() === "error") complaints.push(message.text()); });
  await page.clock.install({ time: new Date(`${DAY}T09:00:00`) });
  await page.goto(at);
  await page.getByRole("heading", { name: "There is no programme in this link." }).waitFor();
  await page.goto("about:blank");
  await page.goto(address);
  await button(page, "Start").waitFor();
  await page.getByText("General picture. It is not drawn from you.").waitFor();
  await sound(page, "site-home");
  await page.evaluate(() => navigator.serviceWorker.ready.then(() => undefined));
  await context.setOffline(true);
  await page.goto("about:blank");
  // From the icon on the home screen, without the fragment and without a network.
  await page.goto(at);
  await begin(page);
  await sound(page, "site-intro");
  await until(page, "move");
  const { cm } = mechanic.programme.exercises[0].limbs[0].cells[0];
  assert.match(await page.locator(".floor").getAttribute("aria-label"), new RegExp(`\\b${cm} cm`));
  assert.equal(await page.locator(".figure svg").count(), 1);
  await page.clock.runFor(5000);
  await sound(page, "site-move");
  assert.ok(asked.every((url) => !url.includes("#")), `${asked}`);
  assert.deepEqual(complaints, []);
  await context.close();
  server.close();
});
