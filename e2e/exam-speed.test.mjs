// What the exam page costs: the bytes of a first visit, and the time a touch
// takes on a slow tablet, which is played by a processor slowed down four times.
import assert from "node:assert/strict";
import { after, before, describe, it } from "node:test";
import { allNormal, kept, placeOf, startExam } from "./exam-page.mjs";
import { openBrowser, openPage, quiet, signIn, startProgram } from "./harness.mjs";

/** @typedef {import("playwright-core").Page} Page */

/** One frame at 60 frames a second, in milliseconds. */
const frame = 16;
/** From here on a task is felt: the threshold of the Long Tasks API. */
const longTask = 50;
/** What a first visit may weigh before the kernel, in bytes. */
const firstVisit = 300_000;

/**
 * Touches each point and returns how long scripts ran, in milliseconds: for the
 * touch itself until the next frame is drawn, and for what follows at once after
 * it. Touches come from the browser's own input, so that no
 * helper of the test runs in the page meanwhile.
 * @param {Page} page @param {{x: number, y: number}[]} points
 */
async function costs(page, points) {
  const session = await page.context().newCDPSession(page);
  /** @type {any[]} */
  const events = [];
  session.on("Tracing.dataCollected", ({ value }) => events.push(...value));
  await session.send("Emulation.setCPUThrottlingRate", { rate: 4 });
  await session.send("Tracing.start", { transferMode: "ReportEvents", categories: "devtools.timeline" });
  for (const { x, y } of points) {
    // What follows from a touch has come before the next, so that each is seen
    // for itself.
    const judged = page.waitForResponse((r) => r.url().endsWith("/preview"), { timeout: 5000 }).catch(() => null);
    await session.send("Input.dispatchMouseEvent", { type: "mousePressed", x, y, button: "left", clickCount: 1 });
    await session.send("Input.dispatchMouseEvent", { type: "mouseReleased", x, y, button: "left", clickCount: 1 });
    await judged;
    await new Promise((resolve) => setTimeout(resolve, 1000));
  }
  const ended = new Promise((resolve) => session.once("Tracing.tracingComplete", () => resolve(undefined)));
  await session.send("Tracing.end");
  await ended;
  await session.send("Emulation.setCPUThrottlingRate", { rate: 1 });
  await session.detach();

  const names = new Set(["EventDispatch", "FireAnimationFrame", "TimerFire", "FunctionCall", "RunMicrotasks"]);
  const presses = events.filter((e) => e.name === "EventDispatch" && e.args?.data?.type === "pointerdown");
  const scripts = events.filter((e) => names.has(e.name) && e.ph === "X").sort((a, b) => a.ts - b.ts);
  return presses.map((press) => {
    const own = scripts.filter((s) => s.pid === press.pid && s.tid === press.tid && s.ts >= press.ts && s.ts <= press.ts + 120_000);
    const painted = own.find((s) => s.name === "FireAnimationFrame")?.ts ?? press.ts + 120_000;
    const cost = { touch: 0, after: 0 };
    let until = 0;
    for (const s of own) {
      if (s.ts < until) continue; // inside one that is counted
      // The time of the thread, so that other programs on this machine do not count.
      cost[s.ts <= painted ? "touch" : "after"] += (s.tdur ?? s.dur) / 1000;
      until = s.ts + s.dur;
    }
    return cost;
  });
}

/** The value that 95 of 100 do not exceed. @param {number[]} values */
function p95(values) {
  const sorted = [...values].sort((a, b) => a - b);
  return sorted[Math.ceil(sorted.length * 0.95) - 1] ?? Infinity;
}

describe("the cost of the exam page", () => {
  /** @type {import("./harness.mjs").Program} */
  let program;
  /** @type {import("playwright-core").Browser} */
  let browser;
  before(async () => {
    program = await startProgram(process.env.TENGRAM_PROGRAM ? { command: [process.env.TENGRAM_PROGRAM] } : {});
    browser = await openBrowser();
  });
  after(async () => {
    await browser?.close();
    await program?.stop();
  });

  it("is under 300 kB on a first visit, before the kernel", async () => {
    const page = await openPage(browser, program.url, { screen: "tablet" });
    await signIn(page, program);
    await startExam(page, 0);
    const address = page.url();
    const fresh = await openPage(browser, program.url, { screen: "tablet" });
    await fresh.context().addCookies(await page.context().cookies());
    const session = await fresh.context().newCDPSession(fresh);
    await session.send("Network.enable");
    /** @type {Map<string, string>} */
    const asked = new Map();
    /** @type {Record<string, number>} */
    const bytes = {};
    session.on("Network.responseReceived", ({ requestId, response }) => asked.set(requestId, new URL(response.url).pathname));
    session.on("Network.loadingFinished", ({ requestId, encodedDataLength }) => {
      const path = asked.get(requestId) ?? "";
      if (!/kernel/.test(path)) bytes[path] = (bytes[path] ?? 0) + encodedDataLength;
    });
    await fresh.goto(address, { waitUntil: "load" });
    await fresh.locator("[data-scripts]").waitFor();
    const sum = Object.values(bytes).reduce((a, b) => a + b, 0);
    console.log(`first visit: ${(sum / 1000).toFixed(1)} kB in ${Object.keys(bytes).length} files`);
    assert.ok(sum > 10_000 && sum < firstVisit, `a first visit weighs ${sum} bytes: ${JSON.stringify(bytes)}`);
    await fresh.context().close();
  });

  it("answers each touch within one frame on a slow tablet", async () => {
    const page = await openPage(browser, program.url, { screen: "laptop" });
    await signIn(page, program);
    await startExam(page, 1);
    await allNormal(page);
    await kept(page);
    const middle = async (/** @type {import("playwright-core").Locator} */ locator) => {
      const box = await locator.boundingBox();
      assert.ok(box, "a thing to touch is not in sight");
      return { x: box.x + box.width / 2, y: box.y + box.height / 2 };
    };
    /** @type {{touch: number, after: number}[]} */
    let all = [];
    // Answers of the questions.
    await page.locator("#group-now").evaluate((group) => group.scrollIntoView({ block: "center" }));
    const answers = [];
    for (const name of ["ask.numbness", "ask.neuropathic-pain", "ask.claudication", "ask.rest-pain", "vitals.unwell"]) {
      for (const value of ["yes", "no"]) answers.push(await middle(page.locator(`input[name="${name}"][value="${value}"]`)));
    }
    all = all.concat(await costs(page, answers));
    // Sites of the drawing.
    await page.locator('[data-feet="test"][data-side="right"]').evaluate((feet) => feet.scrollIntoView({ block: "center" }));
    const sites = [];
    for (const side of ["right", "left"]) {
      for (const place of ["hallux", "mth1", "mth3", "mth5"]) sites.push(await middle(placeOf(page, "test", side, place).locator(".spot")));
    }
    all = all.concat(await costs(page, [...sites, ...sites]));
    // A place, what is there, and done.
    await page.locator('[data-feet="look"]').evaluate((feet) => feet.scrollIntoView({ block: "center" }));
    await placeOf(page, "look", "right", "heel").click();
    const chips = [];
    for (const kind of ["callus", "fissure", "blister", "callus", "fissure", "blister"]) chips.push(await middle(page.locator(`#place [data-kind=${kind}]`)));
    all = all.concat(await costs(page, chips));
    await page.locator("#place [data-done]").click();

    assert.ok(all.length >= 25, `only ${all.length} touches were seen`);
    const touch = all.map((c) => c.touch);
    const after = all.map((c) => c.after);
    console.log(
      `${all.length} touches at a quarter of the speed: script p95 ${p95(touch).toFixed(1)} ms until the next frame, p95 ${p95(after).toFixed(1)} ms right after it`,
    );
    assert.ok(p95(touch) < frame, `p95 is ${p95(touch).toFixed(1)} ms: ${touch.map((c) => c.toFixed(1)).join(" ")}`);
    assert.ok(p95(after) < longTask, `what follows a touch holds up the next: p95 is ${p95(after).toFixed(1)} ms`);
    quiet(page);
  });

  it("does not move what is touched", async () => {
    const page = await openPage(browser, program.url, { screen: "tablet" });
    await signIn(page, program);
    await startExam(page, 2);
    const touch = async (/** @type {import("playwright-core").Locator} */ what) => {
      await what.evaluate((w) => w.scrollIntoView({ block: "center" }));
      const before = await what.boundingBox();
      await what.click();
      await page.waitForTimeout(700); // what follows from it has come by then
      const after = await what.boundingBox();
      assert.ok(before && after);
      const moved = Math.hypot(after.x - before.x, after.y - before.y);
      assert.ok(moved < 1, `${await what.evaluate((w) => w.outerHTML.slice(0, 90))} moved by ${moved.toFixed(1)} pixels`);
    };
    for (const block of ["ask", "look", "feel", "test"]) await touch(page.locator(`#block-${block} [data-normal]`));
    await touch(page.locator('input[name="ask.numbness"][value="yes"]'));
    await touch(placeOf(page, "test", "right", "hallux"));
    await touch(page.locator('input[name="left.feel.arteries.dorsalis-pedis"][value="absent"]'));
    // The first red flag comes on top.
    await touch(page.locator('input[name="right.look.gangrene"][value="toe"]'));
    await page.locator("#flags li").first().waitFor();
    await touch(page.locator('input[name="right.look.nails"][value="abnormal"]'));
    quiet(page);
  });
});
