// The first visit in an empty file of records, from the first account to a sheet in the hand: what is
// asked, what is proposed, what is taught, what is printed; and everything about the person in one file.
import assert from "node:assert/strict";
import { mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { after, before, test } from "node:test";
import { inflateSync } from "node:zlib";
import { browser, chip, everything, footrose, out, settled, sideways, violations, widths, windowOf } from "../harness.mjs";

const PASSPHRASE = "gravel lantern seven boats";
const place = mkdtempSync(join(tmpdir(), "footrose-visit-"));
const records = join(place, "clinic.footrose");
let bench, chrome;
before(async () => {
  bench = await footrose(["serve", "--records", records, "--port", "0"]);
  chrome = await browser();
});
after(async () => {
  await chrome?.close();
  await bench?.end();
  rmSync(place, { recursive: true, force: true });
});

async function signIn(page, name, passphrase) {
  await page.goto("sign-in");
  await page.getByLabel("Your name").fill(name);
  await page.getByLabel("Your passphrase").fill(passphrase);
  await page.getByRole("button", { name: "Sign in" }).click();
  await page.getByRole("heading", { name: "Today", level: 1 }).waitFor();
}

/** Every stream of a PDF, inflated where it is deflated. */
function streams(pdf) {
  const all = [];
  for (let at = pdf.indexOf("stream\n"); at >= 0; at = pdf.indexOf("stream\n", at + 1)) {
    if (pdf.subarray(at - 3, at).toString("latin1") === "end") continue;
    const end = pdf.indexOf("endstream", at);
    const bytes = pdf.subarray(at + 7, end);
    try { all.push(inflateSync(bytes).toString("latin1")); } catch { all.push(bytes.toString("latin1")); }
  }
  return all;
}

/** The words of a PDF: its glyphs by the tables of letters that it carries for copying. */
function words(pdf) {
  const all = streams(pdf);
  const utf16 = (hex) => Buffer.from(hex, "hex").swap16().toString("utf16le");
  const tables = all.filter((text) => text.includes("beginbfchar") || text.includes("beginbfrange")).map((text) => {
    const table = new Map();
    for (const [, block] of text.matchAll(/beginbfchar([\s\S]*?)endbfchar/g)) {
      for (const [, from, to] of block.matchAll(/<([0-9a-fA-F]+)>\s*<([0-9a-fA-F]+)>/g)) table.set(parseInt(from, 16), utf16(to));
    }
    return table;
  });
  const bytesOf = (literal) => {
    const out = [];
    for (let at = 0; at < literal.length; at += 1) {
      if (literal[at] !== "\\") { out.push(literal.charCodeAt(at)); continue; }
      const octal = /^[0-7]{1,3}/.exec(literal.slice(at + 1));
      if (octal) { out.push(parseInt(octal[0], 8)); at += octal[0].length; continue; }
      const named = { n: 10, r: 13, t: 9, b: 8, f: 12 }[literal[at + 1]];
      out.push(named ?? literal.charCodeAt(at + 1));
      at += 1;
    }
    return out;
  };
  const pages = all.filter((text) => /\bTf\b/.test(text));
  return tables.map((table) => pages.map((page) => {
    let said = "";
    for (const [, hex, literal] of page.matchAll(/<([0-9a-fA-F]{4,})>|\(((?:\\[\s\S]|[^\\)])*)\)/g)) {
      const bytes = hex ? [...Buffer.from(hex, "hex")] : bytesOf(literal);
      for (let at = 0; at + 1 < bytes.length; at += 2) said += table.get(bytes[at] * 256 + bytes[at + 1]) ?? "";
    }
    return said;
  }).join("\n")).join("\n");
}

test("records that are not there yet begin in the browser: an account, a key to write down, signing in", async () => {
  const first = /first-use\/[0-9a-f]+/.exec(bench.said())[0];
  for (const width of widths) {
    const { context, page, elsewhere, complaints } = await windowOf(chrome, bench.address, { width });
    await page.goto(first);
    const made = width === widths[0];
    if (made) {
      await page.screenshot({ path: join(out, "first-use-360.png"), fullPage: true });
      assert.deepEqual(await violations(page), []);
      await page.getByLabel("Your name").fill("Wren");
      await page.getByLabel("A passphrase").fill(PASSPHRASE);
      await page.getByLabel("The same again").fill("another one altogether");
      await page.getByRole("button", { name: "Create the records" }).click();
      assert.match(await page.getByRole("alert").innerText(), /differ/);
      assert.equal(await page.getByLabel("Your name").inputValue(), "Wren");
      await page.getByLabel("A passphrase").fill(PASSPHRASE);
      await page.getByLabel("The same again").fill(PASSPHRASE);
      await page.getByRole("button", { name: "Create the records" }).click();
    }
    await page.getByRole("heading", { name: "Write this key down" }).waitFor();
    await page.screenshot({ path: join(out, `first-key-${width}.png`), fullPage: true });
    assert.deepEqual(await violations(page), []);
    assert.equal(await sideways(page), 0);
    if (width === widths[2]) {
      await page.getByLabel("It is written down").check();
      await page.getByRole("button", { name: "Go to signing in" }).click();
      await page.getByRole("button", { name: "Sign in" }).waitFor();
    }
    assert.deepEqual(elsewhere, []);
    assert.deepEqual(complaints.filter((line) => !line.includes("422")), []);
    await context.close();
  }
});

test("an empty file: the first account, the first person, findings, space, programme, teaching and the sheet", async () => {
  const { context, page, elsewhere, complaints } = await windowOf(chrome, bench.address, { width: 820, height: 1180 });
  await signIn(page, "Wren", PASSPHRASE);
  await page.getByText("Nobody is in the records yet.").waitFor();
  await page.screenshot({ path: join(out, "visit-1-empty.png"), fullPage: true });
  await page.getByRole("link", { name: "Add a person" }).click();
  await page.getByLabel("Name or initials").fill("Edda M.");
  await page.getByLabel("The clinic’s number").fill("N-1");
  await page.getByRole("button", { name: "Add" }).click();
  await page.getByRole("heading", { name: "Edda M.: Findings" }).waitFor();

  // Every other tab says what to do first, and nothing breaks.
  const person = new URL(page.url()).pathname.replace(/\/findings$/, "").slice(1);
  for (const tab of ["space", "programme", "teach", "home-log", "measures", "letters"]) {
    await page.goto(`${person}/${tab}`);
    await page.getByRole("heading", { level: 1 }).waitFor();
    assert.ok((await page.locator("main").innerText()).length > 150, `${tab} says what to do first`);
  }
  await page.goto(`${person}/findings`);

  await page.getByLabel("All 13 asked, none present").check();
  await page.locator('[name="person.age"]').fill("68");
  await chip(page, "person.sex", "female").click();
  await page.locator('[name="person.stature"]').fill("164");
  await page.locator('[name="person.mass"]').fill("66");
  await chip(page, "findings.consent", "yes").click();
  await chip(page, "conditions.new.kind", "knee_osteoarthritis").click();
  await chip(page, "conditions.new.side", "left").click();
  await chip(page, "conditions.new.medial_or_varus_thrust", "no").click();
  for (const side of ["left", "right"]) {
    await chip(page, `weight_bearing.${side}.grade`, "full").click();
    await chip(page, `weight_bearing.${side}.known`, "spoken_to_team").click();
    await page.locator(`[name="findings.single_leg_stance.${side}"]`).fill("12");
    await page.locator(`[name="findings.knee_flexion.${side}"]`).fill("125");
    await page.locator(`[name="findings.ankle_dorsiflexion.${side}"]`).fill("36");
    await page.locator(`[name="findings.extension_lag.${side}"]`).fill("0");
    await chip(page, `findings.effusion.${side}`, "0").click();
    await chip(page, `findings.trendelenburg.${side}`, "no").click();
  }
  await chip(page, "findings.pain_at_rest", "0").click();
  await chip(page, "findings.pain_in_movement", "2").click();
  await chip(page, "findings.consistent_night_pain", "no").click();
  await chip(page, "findings.aid", "none").click();
  await chip(page, "findings.stands_and_shifts", "yes").click();
  await chip(page, "findings.dizzy_bending", "no").click();
  await chip(page, "findings.stairs_reciprocal", "yes").click();
  await page.locator('[name="findings.sit_to_stands"]').fill("12");
  await chip(page, "others", "asked").click();
  await page.locator("label", { hasText: "bench or worktop" }).first().click();
  await chip(page, "home.footwear", "socks").click();
  for (const [title, goal] of [["Control going", "lateral"], ["Tasks", "balance on one leg"]]) {
    await page.locator("details.ticks > summary", { hasText: title }).click();
    await page.locator("details.ticks label.choice", { hasText: new RegExp(`^${goal}$`) }).click();
  }
  await page.screenshot({ path: join(out, "visit-2-findings.png"), fullPage: true });
  await page.getByRole("button", { name: "Save" }).click();
  await page.getByText("The first version is saved.").waitFor({ timeout: 60_000 });

  await page.getByRole("link", { name: "Movement space", exact: true }).click();
  await settled(page);
  await page.locator(".space-floor").first().waitFor({ timeout: 120_000 });
  await page.getByRole("link", { name: "Programme", exact: true }).click();
  await settled(page);
  await page.getByRole("button", { name: "Accept the first proposal" }).click();
  await page.getByRole("heading", { name: "The programme", exact: true }).waitFor({ timeout: 60_000 });

  await page.getByRole("link", { name: "Teach it now" }).click();
  const tapped = await page.locator(".step:not([hidden]) .tap").count();
  for (const tap of await page.locator(".step:not([hidden]) .tap").all()) await tap.locator("label", { hasText: "Steady" }).click();
  await page.getByText("Every tap is saved.", { exact: true }).waitFor();
  await page.reload();
  await page.getByText(`The lesson goes on: ${tapped} taps are saved.`).waitFor();
  while (await page.getByRole("button", { name: "Next" }).isVisible()) await page.getByRole("button", { name: "Next" }).click();
  await page.getByRole("button", { name: "Save what was seen" }).click();
  await page.getByRole("heading", { name: "taught in the room" }).waitFor();
  assert.equal(await page.getByRole("heading", { name: "taught in the room" }).count(), 1, "one lesson, one entry");

  // The sheet, on both papers.
  await page.goto(`${person}/programme`);
  await settled(page);
  const fetched = (query) => page.evaluate(async (to) => {
    const answer = await fetch(to);
    return { type: answer.headers.get("content-type"), bytes: [...new Uint8Array(await answer.arrayBuffer())] };
  }, `/${person}/programme/sheet.pdf${query}`);
  const sheet = await fetched("?paper=a4&edition=standard");
  const pdf = Buffer.from(sheet.bytes);
  writeFileSync(join(out, "visit-sheet.pdf"), pdf);
  assert.equal(sheet.type, "application/pdf");
  assert.equal(pdf.subarray(0, 5).toString(), "%PDF-");
  assert.ok(pdf.subarray(-8).toString().includes("%%EOF"), "the file is whole");
  const text = pdf.toString("latin1");
  const pages = Number(/\/Type\/Pages\/Count (\d+)/.exec(text)?.[1]);
  assert.ok(pages >= 3 && pages <= 8, `${pages} pages`);
  assert.match(text, /\/MediaBox\s*\[0 0 595/);
  const said = words(pdf).replaceAll(/\s+/g, " ");
  assert.match(said, /Edda M\./);
  assert.match(said, /Use until/);
  assert.match(said, /Take off your socks/);
  // The directions of this person, in the words of the floor, as the text of the sheet names them.
  const plain = await page.evaluate(async (to) => (await fetch(to)).text(), `/${person}/programme/sheet.txt`);
  const ways = [...new Set([...plain.matchAll(/^.*?\b((?:forward|back)(?:-(?:left|right))?|left|right):? (\d+ cm)/gm)].map((way) => way[2]))];
  assert.ok(ways.length >= 2, `too few directions in: ${plain}`);
  for (const way of ways) assert.ok(said.includes(way) || said.replaceAll(" ", "").includes(way.replaceAll(" ", "")), `${way} is not on the sheet`);
  const letter = Buffer.from((await fetched("?paper=letter&edition=large")).bytes);
  assert.match(letter.toString("latin1"), /\/MediaBox\s*\[0 0 612/);
  assert.ok(Number(/\/Type\/Pages\/Count (\d+)/.exec(letter.toString("latin1"))?.[1]) > pages, "large type takes more pages");

  // Everything about the person: readable without the program.
  const files = await everything(page, person);
  for (const name of ["README.txt", "entries.json", "entries.csv", "case-0002.toml", "summary.pdf", "home-sheet.pdf"]) {
    assert.ok(files.has(name), `${name} is not among ${[...files.keys()].join(", ")}`);
  }
  for (const name of ["summary.pdf", "home-sheet.pdf"]) assert.equal(files.get(name)?.subarray(0, 5).toString(), "%PDF-");
  const summary = words(/** @type {Buffer} */ (files.get("summary.pdf")));
  assert.match(summary, /Edda M\./);
  assert.match(summary.replaceAll(/\s+/g, " "), /Knee osteoarthritis/);
  writeFileSync(join(out, "visit-summary.pdf"), files.get("summary.pdf") ?? "");
  assert.deepEqual({ elsewhere, complaints }, { elsewhere: [], complaints: [] });
  await context.close();
});
