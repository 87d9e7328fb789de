// What every browser test stands on: the built program on a port of its own, a
// browser, pages of the three sizes people use, and the checks that hold on
// every page.
import assert from "node:assert/strict";
import { spawn } from "node:child_process";
import { mkdir, mkdtemp, rm } from "node:fs/promises";
import { tmpdir } from "node:os";
import { dirname, join } from "node:path";
import { fileURLToPath } from "node:url";
import { AxeBuilder } from "@axe-core/playwright";
import { chromium } from "playwright-core";

/** @typedef {import("playwright-core").Browser} Browser */
/** @typedef {import("playwright-core").Page} Page */
/** @typedef {{url: string, passphrase: string, data: string, output: () => string, stop: () => Promise<void>}} Program */

const root = dirname(dirname(fileURLToPath(import.meta.url)));

/** The passphrase that the demo clinic is given, unless the environment has one. */
const passphrase = process.env.TENGRAM_PASSPHRASE || "four plain words here";

/** The sizes that people use, in CSS pixels. */
export const screens = {
  phone: { width: 390, height: 844 },
  tablet: { width: 820, height: 1180 },
  laptop: { width: 1366, height: 900 },
};

/**
 * Starts the demo clinic with data of its own, and waits until it answers.
 * @param {{command?: string[], args?: string[], seconds?: number}} [options]
 *   command replaces the program; args are added to the demo's.
 * @returns {Promise<Program>}
 */
export async function startProgram({ command = [join(root, "bin", "tengram")], args = [], seconds = 60 } = {}) {
  const data = await mkdtemp(join(tmpdir(), "tengram-e2e-"));
  const [program = "", ...before] = command;
  const child = spawn(program, [...before, "demo", "--listen", "127.0.0.1:0", "--data", data, ...args], {
    env: { ...process.env, TENGRAM_PASSPHRASE: passphrase },
    stdio: ["ignore", "pipe", "pipe"],
  });
  let output = "";
  const ended = new Promise((resolve) => {
    child.once("error", (error) => resolve(error.message));
    child.once("exit", (code, signal) => resolve(`exit ${code ?? signal}`));
  });
  const stop = async () => {
    child.kill("SIGTERM");
    const hard = setTimeout(() => child.kill("SIGKILL"), 10_000);
    await ended;
    clearTimeout(hard);
    await rm(data, { recursive: true, force: true });
  };
  const listening = new Promise((resolve) => {
    /** @param {Buffer} chunk */
    const read = (chunk) => {
      output += chunk;
      const line = /Listening on (http:\/\/127\.0\.0\.1:\d+)/.exec(output);
      if (line) resolve({ url: line[1] });
    };
    child.stdout.on("data", read);
    child.stderr.on("data", read);
  });
  /** @type {NodeJS.Timeout | undefined} */
  let clock;
  const late = new Promise((resolve) => {
    clock = setTimeout(() => resolve(`no answer in ${seconds} s`), seconds * 1000);
  });
  const first = await Promise.race([listening, ended, late]);
  clearTimeout(clock);
  if (typeof first === "string") {
    await stop();
    throw new Error(`the program did not start: ${first}\n${output}`);
  }
  return { url: first.url, passphrase, data, output: () => output, stop };
}

/** Opens the browser that the system has. Close it when done. */
export function openBrowser() {
  return chromium.launch({
    executablePath: process.env.TENGRAM_CHROMIUM || "/usr/bin/chromium",
    args: [
      "--no-sandbox",
      "--disable-gpu",
      "--disable-quic",
      "--no-first-run",
      "--disable-background-networking",
      "--disable-component-update",
      "--disable-sync",
    ],
  });
}

/** @type {WeakMap<Page, string[]>} */
const troubles = new WeakMap();

/**
 * Opens a page of its own session: nothing is shared with other pages.
 * @param {Browser} browser
 * @param {string} url where relative addresses start
 * @param {{screen?: keyof typeof screens, scheme?: "light" | "dark", locale?: string}} [options]
 * @returns {Promise<Page>}
 */
export async function openPage(browser, url, { screen = "tablet", scheme = "light", locale = "en-US" } = {}) {
  const context = await browser.newContext({
    baseURL: url,
    viewport: screens[screen],
    hasTouch: screen !== "laptop",
    colorScheme: scheme,
    reducedMotion: "reduce",
    locale,
  });
  const page = await context.newPage();
  /** @type {string[]} */
  const seen = [];
  troubles.set(page, seen);
  page.on("pageerror", (error) => seen.push(`script error: ${error.message}`));
  page.on("console", (message) => {
    if (message.type() === "error") seen.push(`console: ${message.text()}`);
  });
  page.on("request", (request) => {
    const address = new URL(request.url());
    if (address.protocol.startsWith("http") && address.origin !== new URL(url).origin) {
      seen.push(`asked another host: ${address.origin}`);
    }
  });
  return page;
}

/**
 * Asserts that since it was opened the page had no script error, wrote no error
 * to the console (a broken content-security policy does) and asked no other host.
 * @param {Page} page
 */
export function quiet(page) {
  assert.deepEqual(troubles.get(page), [], "the page was in trouble");
}

/**
 * Signs in to the demo clinic through its form.
 * @param {Page} page
 * @param {Program} program
 */
export async function signIn(page, program) {
  await page.goto("/");
  await page.locator("input[type=password]").fill(program.passphrase);
  await page.locator("form:has(input[type=password]) button[type=submit]").click();
  await page.locator("input[type=password]").waitFor({ state: "detached" });
}

/** The rules of WCAG 2.2, A and AA, that a machine can see. */
const wcag = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"];

/**
 * The engine for a page without frames, of which only the faults are asked: told
 * of every place that passes as well, it takes three times as long.
 * @param {Page} page @param {{type: "tag" | "rule", values: string[]}} runOnly
 */
const engine = (page, runOnly) => new AxeBuilder({ page }).setLegacyMode(true).options({ resultTypes: ["violations"], runOnly });

/** Those of them that look at colours: only they can answer otherwise in the dark. */
const ofColours = ["color-contrast", "link-in-text-block"];

/**
 * Asserts that a page breaks no rule of WCAG 2.2, A and AA, that a machine can see.
 * @param {Page} page
 * @param {string} name of the page, for the report
 */
export async function axe(page, name) {
  await passes(engine(page, { type: "tag", values: wcag }), name);
}

/**
 * Takes a picture of a page in light and in dark, and asserts that it breaks no
 * rule in either. It leaves the page in light.
 * @param {Page} page
 * @param {string} name of the page and its state
 */
export async function inBoth(page, name) {
  await page.emulateMedia({ colorScheme: "light" });
  await shot(page, `${name}-light`);
  await axe(page, `${name}, light`);
  await page.emulateMedia({ colorScheme: "dark" });
  await shot(page, `${name}-dark`);
  await passes(engine(page, { type: "rule", values: ofColours }), `${name}, dark`);
  await page.emulateMedia({ colorScheme: "light" });
}

/** @param {AxeBuilder} rules @param {string} name */
async function passes(rules, name) {
  const { violations } = await rules.analyze();
  const lines = violations.flatMap((v) => [
    `  ${v.id} (${v.impact}): ${v.help}`,
    ...v.nodes.map((n) => `    ${n.target.join(" ")}: ${n.html.slice(0, 160)}`),
  ]);
  assert.equal(violations.length, 0, `${name} has accessibility faults:\n${lines.join("\n")}`);
}

/**
 * Asserts that nothing on the page is wider than the screen.
 * @param {Page} page
 * @param {string} name of the page, for the report
 */
export async function fits(page, name) {
  const over = await page.evaluate(() => document.documentElement.scrollWidth - innerWidth);
  assert.ok(over <= 0, `${name} is ${over} pixels wider than the screen`);
}

/**
 * Saves a picture of the whole page as build/screenshots/NAME.png.
 * @param {Page} page
 * @param {string} name
 */
export async function shot(page, name) {
  const folder = join(root, "build", "screenshots");
  await mkdir(folder, { recursive: true });
  const path = join(folder, `${name}.png`);
  await page.screenshot({ path, fullPage: true });
  return path;
}
