// What the exam page costs: the bytes of a first visit, who judges what is
// touched, and that nothing moves under the finger. bench/touch times it.
import assert from "node:assert/strict";
import { after, before, describe, it } from "node:test";
import { kept, placeOf, startExam } from "./exam-page.mjs";
import { openBrowser, openPage, quiet, signIn, startProgram } from "./harness.mjs";
import { answer, ready } from "./offline.mjs";

/** What a first visit may weigh before the kernel, in bytes. */
const firstVisit = 300_000;

/** @typedef {import("playwright-core").Page} Page */

/** Counts how often the page asks the server to judge. @param {Page} page */
function countPreviews(page) {
  let n = 0;
  page.on("request", (r) => (n += r.url().endsWith("/preview") ? 1 : 0));
  return () => n;
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

  it("is judged on the device once the kernel is here, and the kernel is fetched once", async () => {
    const page = await openPage(browser, program.url, { screen: "tablet" });
    /** @type {string[]} */
    const asked = [];
    page.context().on("request", (r) => asked.push(new URL(r.url()).pathname));
    await signIn(page, program);
    await startExam(page, 1);
    await ready(page);
    await page.reload();
    await page.locator("[data-scripts]").waitFor();
    await answer(page, "ask.numbness", "yes");
    await kept(page); // by now the kernel has been started again
    await page.waitForTimeout(3000);
    asked.length = 0;
    await page.locator("#block-look [data-normal]").click();
    await answer(page, "right.test.filament.hallux", "abnormal");
    await answer(page, "right.test.filament.mth1", "abnormal");
    await page.locator("#result", { hasText: "Loss of protective sensation." }).waitFor();
    assert.deepEqual(asked.filter((path) => path.endsWith("/preview")), [], "the server was asked to judge");
    assert.deepEqual(asked.filter((path) => path.includes("kernel")), [], "the kernel was fetched again");
    quiet(page);
  });

  it("is judged by the server, word for word alike, where there is no WebAssembly", async () => {
    const with_ = await openPage(browser, program.url, { screen: "tablet" });
    await signIn(with_, program);
    await startExam(with_, 3);
    await answer(with_, "right.test.filament.hallux", "abnormal");
    await answer(with_, "right.test.filament.mth1", "abnormal");
    await with_.locator("#result", { hasText: "Loss of protective sensation." }).waitFor();
    await kept(with_);
    const without = await with_.context().newPage();
    await without.addInitScript(() => Reflect.deleteProperty(globalThis, "WebAssembly"));
    await without.goto(with_.url());
    await without.locator("[data-scripts]").waitFor();
    const [judged] = await Promise.all([without.waitForResponse((r) => r.url().endsWith("/preview")), answer(without, "left.test.filament.hallux", "normal")]);
    assert.equal(judged.status(), 200);
    await kept(without);
    await with_.reload();
    await with_.locator("[data-scripts]").waitFor();
    await with_.waitForTimeout(4000); // the kernel has started
    const previews = countPreviews(with_);
    await answer(with_, "left.test.filament.hallux", "abnormal");
    await with_.waitForTimeout(600);
    await answer(with_, "left.test.filament.hallux", "normal");
    await with_.waitForTimeout(1500);
    assert.equal(previews(), 0, "the server was asked although the kernel is here");
    const words = (/** @type {Page} */ page) => page.locator("#result").innerText();
    assert.equal(await words(with_), await words(without));
    quiet(with_);
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
    // The sheet of a place.
    await placeOf(page, "look", "left", "heel").click();
    const last = page.locator("#place [data-kind]").last();
    const before = await last.boundingBox();
    await touch(page.locator("#place [data-kind=callus]"));
    await touch(page.locator("#place [data-kind=fissure]"));
    assert.deepEqual(await last.boundingBox(), before, "a chip beside the touched one moved");
    await page.locator("#place [data-done]").click();
    // The first red flag comes on top.
    await touch(page.locator('input[name="right.look.gangrene"][value="toe"]'));
    await page.locator("#flags li").first().waitFor();
    await touch(page.locator('input[name="right.look.nails"][value="abnormal"]'));
    quiet(page);
  });
});
