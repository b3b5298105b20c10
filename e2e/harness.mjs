// One workbench and one browser for a file of tests; fails on any request to anywhere else.
// @ts-check
import { spawn } from "node:child_process";
import { mkdirSync, readFileSync } from "node:fs";
import { createRequire } from "node:module";
import { dirname, join } from "node:path";
import { fileURLToPath } from "node:url";
import { chromium } from "playwright-core";

const here = dirname(fileURLToPath(import.meta.url));
const axeSource = readFileSync(createRequire(import.meta.url).resolve("axe-core/axe.min.js"), "utf8");

/** Where pictures go. */
export const out = join(here, "out");
mkdirSync(out, { recursive: true });

/** Widths of a phone, a tablet held upright, and a desk. */
export const widths = [360, 820, 1440];

/**
 * Starts the program and waits for its address.
 * @param {string[]} args
 * @param {string} [typed] lines for its standard input
 */
export async function footrose(args, typed) {
  const program = process.env.FOOTROSE ?? "target/debug/footrose";
  const child = spawn(program, args, { stdio: ["pipe", "pipe", "pipe"] });
  if (typed) child.stdin.write(typed);
  child.stdin.end();
  let said = "";
  child.stderr.on("data", (chunk) => { said += chunk; });
  const address = await new Promise((found, failed) => {
    child.stdout.on("data", (chunk) => {
      said += chunk;
      const at = /http:\/\/127\.0\.0\.1:\d+\//.exec(said);
      if (at) found(at[0]);
    });
    child.on("exit", (code) => failed(new Error(`the program ended with ${code}: ${said}`)));
  });
  return {
    address: /** @type {string} */ (address),
    said: () => said,
    end: () => new Promise((ended) => { child.on("exit", ended); child.kill("SIGTERM"); }),
  };
}

/** Starts the browser; no name resolves but our own address. */
export async function browser() {
  return chromium.launch({
    executablePath: process.env.CHROMIUM ?? "/usr/bin/chromium",
    args: ["--no-sandbox", "--host-resolver-rules=MAP * ~NOTFOUND , EXCLUDE 127.0.0.1"],
  });
}

/**
 * A window of its own cookies, with every request to anywhere else in `elsewhere`.
 * @param {import("playwright-core").Browser} of
 * @param {string} address
 * @param {{ width?: number, height?: number, scale?: number, insecure?: boolean }} [size] `insecure`: a certificate nobody vouches for is taken
 */
export async function windowOf(of, address, { width = 1440, height = 900, scale = 1, insecure = false } = {}) {
  const context = await of.newContext({
    viewport: { width, height }, deviceScaleFactor: scale, baseURL: address, ignoreHTTPSErrors: insecure,
  });
  // A machine that builds something else beside is slow and not wrong.
  context.setDefaultTimeout(120_000);
  /** @type {string[]} */
  const elsewhere = [];
  /** @type {string[]} */
  const complaints = [];
  context.on("request", (request) => {
    const url = request.url();
    if (!url.startsWith(address) && !url.startsWith("data:") && !url.startsWith("blob:")) elsewhere.push(url);
  });
  context.on("console", (message) => { if (message.type() === "error") complaints.push(message.text()); });
  const page = await context.newPage();
  page.on("pageerror", (error) => complaints.push(String(error)));
  return { context, page, elsewhere, complaints };
}

/**
 * Signs in to the invented clinic.
 * @param {import("playwright-core").Page} page
 */
export async function signIn(page, { pin = "2468" } = {}) {
  await page.goto("sign-in");
  await page.getByLabel("A PIN for today").fill(pin);
  await page.getByRole("button", { name: "Sign in" }).click();
  await page.getByRole("heading", { name: "Today", level: 1 }).waitFor();
}

/**
 * What the accessibility checker finds on a page, one line each.
 * @param {import("playwright-core").Page} page
 */
export async function violations(page) {
  await page.evaluate(axeSource);
  const found = await page.evaluate(async () => {
    const tags = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"];
    // @ts-expect-error the checker was just put there
    return (await axe.run(document, { runOnly: tags })).violations;
  });
  return found.flatMap((/** @type {any} */ rule) =>
    rule.nodes.map((/** @type {any} */ node) => `${rule.id}: ${rule.help}: ${node.html.slice(0, 160)}`));
}

/**
 * How far a page can be scrolled sideways, in pixels; 0 is right.
 * @param {import("playwright-core").Page} page
 */
export async function sideways(page) {
  return page.evaluate(() => document.documentElement.scrollWidth - document.documentElement.clientWidth);
}

/**
 * Targets smaller than 44 px in both directions that are not part of a sentence.
 * @param {import("playwright-core").Page} page
 */
export async function small(page) {
  return page.evaluate(() =>
    [...document.querySelectorAll("a[href], button, input:not([type=hidden]), select, textarea, summary")]
      .filter((one) => one.getClientRects().length > 0 && !one.closest("p, label, .skip") && !one.matches(".skip"))
      .map((one) => ({ box: one.getBoundingClientRect(), html: one.outerHTML.slice(0, 120) }))
      .filter(({ box }) => box.height < 43.5 || box.width < 24)
      .map(({ box, html }) => `${Math.round(box.width)} × ${Math.round(box.height)}: ${html}`));
}

/**
 * Presses Tab until the focus is on what fits, and says so if it never comes or cannot be seen.
 * @param {import("playwright-core").Page} page
 * @param {(one: HTMLElement, name: string) => boolean} fits runs in the page
 */
export async function tabUntil(page, fits, { most = 400, name = "", from = "here" } = {}) {
  if (from === "top") await page.evaluate(() => { /** @type {HTMLElement | null} */ (document.activeElement)?.blur(); window.getSelection()?.removeAllRanges(); document.body.setAttribute("tabindex", "-1"); document.body.focus(); document.body.removeAttribute("tabindex"); });
  for (let pressed = 0; pressed < most; pressed += 1) {
    await page.keyboard.press("Tab");
    const at = await page.evaluate(([source, wanted]) => {
      const one = document.activeElement;
      if (!(one instanceof HTMLElement) && !(one instanceof SVGElement)) return null;
      const found = new Function(`return (${source})`)()(one, wanted);
      const style = getComputedStyle(one);
      // A choice at a touch shows its focus on the words beside it.
      const beside = one.nextElementSibling ? getComputedStyle(one.nextElementSibling) : style;
      // The handle on the floor shows its focus by its rim.
      const grip = one.querySelector(".grip");
      const seen = [style, beside].some((of) => of.outlineStyle !== "none" && parseFloat(of.outlineWidth) >= 2)
        || (grip !== null && parseFloat(getComputedStyle(grip).strokeWidth) >= 4);
      return { found, seen };
    }, [String(fits), name]);
    if (at?.found) {
      if (!at.seen) throw new Error(`the focus on "${name || fits}" cannot be seen`);
      return;
    }
  }
  throw new Error(`"${name || fits}" was not reached with Tab`);
}

/**
 * Presses Tab until the focus is on what has this name.
 * @param {import("playwright-core").Page} page
 * @param {string} name
 * @param {{ most?: number, from?: string }} [how]
 */
export async function tabTo(page, name, how = {}) {
  await tabUntil(page, (one, wanted) => {
    const labels = "labels" in one ? [.../** @type {any} */ (one).labels ?? []] : [];
    return (labels.map((label) => label.textContent).join(" ") || one.getAttribute("aria-label") || one.textContent || "").trim().startsWith(wanted);
  }, { ...how, name });
}

/**
 * What overlaps or is cut off on a page: things to press that lie over each other, text that its own box
 * hides, and anything that reaches out of the window.
 * @param {import("playwright-core").Page} page
 */
export async function crowded(page) {
  return page.evaluate(() => {
    const out = [];
    const seen = (/** @type {Element} */ one) => one.getClientRects().length > 0 && one.checkVisibility({ visibilityProperty: true, opacityProperty: true });
    const named = (/** @type {Element} */ one) => one.outerHTML.slice(0, 90);
    const sticky = (/** @type {Element} */ one) => {
      for (let at = /** @type {Element | null} */ (one); at; at = at.parentElement) if (["sticky", "fixed"].includes(getComputedStyle(at).position)) return true;
      return false;
    };
    const targets = [...document.querySelectorAll("main a[href], main button, main input:not([type=hidden]), main select, main textarea, main summary, header a[href], header button, header input:not([type=hidden])")]
      .filter((one) => seen(one) && !one.closest("svg") && !one.closest(".skip") && !one.matches(".skip") && !sticky(one));
    const boxes = targets.map((one) => ({ one, box: one.getBoundingClientRect() }));
    for (let a = 0; a < boxes.length; a += 1) {
      for (let b = a + 1; b < boxes.length; b += 1) {
        const [one, two] = [boxes[a], boxes[b]];
        if (one.one.contains(two.one) || two.one.contains(one.one)) continue;
        // A choice is a hidden field under its own words.
        if (one.one.closest("label") && one.one.closest("label") === two.one.closest("label")) continue;
        const wide = Math.min(one.box.right, two.box.right) - Math.max(one.box.left, two.box.left);
        const high = Math.min(one.box.bottom, two.box.bottom) - Math.max(one.box.top, two.box.top);
        if (wide > 2 && high > 2) out.push(`${named(one.one)} lies over ${named(two.one)}`);
      }
    }
    const width = document.documentElement.clientWidth;
    for (const one of document.querySelectorAll("main *, header *, footer *")) {
      if (!seen(one) || one.closest("svg")) continue;
      const style = getComputedStyle(one);
      const hides = ["hidden", "clip"].includes(style.overflowX);
      const forReaders = style.clipPath !== "none" || one.closest(".unseen, .skip, .search label");
      if (hides && !forReaders && one.scrollWidth > one.clientWidth + 1) out.push(`cut off: ${named(one)}`);
      const box = one.getBoundingClientRect();
      const scrolls = one.closest("[data-scrolls], .scrolls");
      if (!forReaders && !scrolls && box.width > 1 && (box.right > width + 1 || box.left < -1)) out.push(`out of the window: ${named(one)}`);
    }
    return [...new Set(out)];
  });
}

/**
 * The address of a person, found by number.
 * @param {import("playwright-core").Page} page
 * @param {string} number
 */
export async function personOf(page, number) {
  await page.goto(`people?q=${encodeURIComponent(number)}`);
  return new URL(page.url()).pathname.replace(/\/findings$/, "").slice(1);
}

/**
 * Waits until a page that is worked out is there.
 * @param {import("playwright-core").Page} page
 */
export async function settled(page) {
  await page.waitForLoadState("load");
  await page.waitForFunction(() => !document.querySelector("[data-again]"), undefined, { timeout: 120_000 });
  await page.waitForLoadState("load");
}

/**
 * The files of an archive that is stored and not compressed.
 * @param {Buffer} zip
 * @returns {Map<string, Buffer>}
 */
export function unzip(zip) {
  const files = new Map();
  for (let at = 0; zip.readUInt32LE(at) === 0x04034b50;) {
    const [size, name] = [zip.readUInt32LE(at + 18), zip.readUInt16LE(at + 26)];
    const begin = at + 30 + name + zip.readUInt16LE(at + 28);
    files.set(zip.toString("latin1", at + 30, at + 30 + name), zip.subarray(begin, begin + size));
    at = begin + size;
  }
  return files;
}

/**
 * Everything about a person, as the button of the record gives it.
 * @param {import("playwright-core").Page} page
 * @param {string} person
 */
export async function everything(page, person) {
  const at = page.url();
  await page.goto(`${person}/record`);
  const action = await page.locator("form[action$='everything.zip']").getAttribute("action");
  const got = await page.evaluate(async (to) => {
    const form = /** @type {HTMLFormElement} */ (document.querySelector("form[action$='everything.zip']"));
    const answer = await fetch(to, { method: "POST", body: new URLSearchParams(/** @type {any} */ (new FormData(form))) });
    return [...new Uint8Array(await answer.arrayBuffer())];
  }, action ?? "");
  if (!at.startsWith("about:")) await page.goto(at);
  return unzip(Buffer.from(got));
}

/**
 * How many entries of each kind stand in a record.
 * @param {import("playwright-core").Page} page
 * @param {string} person
 * @returns {Promise<Record<string, number>>}
 */
export async function entries(page, person) {
  const all = JSON.parse(((await everything(page, person)).get("entries.json") ?? "").toString()).entries;
  /** @type {Record<string, number>} */
  const out = {};
  for (const entry of all) out[entry.kind] = (out[entry.kind] ?? 0) + 1;
  return out;
}

/** A choice at a touch. @param {import("playwright-core").Page} page @param {string} name @param {string} value */
export const chip = (page, name, value) => page.locator(`label.chip:has(input[name="${name}"][value="${value}"])`);
