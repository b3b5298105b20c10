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
 * @param {{ width?: number, height?: number, insecure?: boolean }} [size] `insecure`: a certificate nobody vouches for is taken
 */
export async function windowOf(of, address, { width = 1440, height = 900, insecure = false } = {}) {
  const context = await of.newContext({ viewport: { width, height }, baseURL: address, ignoreHTTPSErrors: insecure });
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
 * Presses Tab until the focus is on what has this name, and says so if it never comes.
 * @param {import("playwright-core").Page} page
 * @param {string} name
 */
export async function tabTo(page, name, { most = 200 } = {}) {
  for (let pressed = 0; pressed < most; pressed += 1) {
    await page.keyboard.press("Tab");
    const at = await page.evaluate(() => {
      const one = document.activeElement;
      if (!(one instanceof HTMLElement)) return null;
      const labels = "labels" in one ? [.../** @type {any} */ (one).labels ?? []] : [];
      const style = getComputedStyle(one);
      return {
        name: (labels.map((label) => label.textContent).join(" ") || one.textContent || "").trim(),
        seen: style.outlineStyle !== "none" && parseFloat(style.outlineWidth) >= 2,
      };
    });
    if (at && at.name.startsWith(name)) {
      if (!at.seen) throw new Error(`the focus on "${name}" cannot be seen`);
      return;
    }
  }
  throw new Error(`"${name}" was not reached with Tab`);
}
