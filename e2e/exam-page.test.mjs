// The exam page as people use it: with a finger, with the keyboard alone, and by
// the names that a screen reader says.
import assert from "node:assert/strict";
import { after, before, describe, it } from "node:test";
import { allNormal, blocks, kept, openPerson, placeOf, recordAt, startExam } from "./exam-page.mjs";
import { axe, inBoth, openBrowser, openPage, quiet, shot, signIn, startProgram } from "./harness.mjs";

/** @typedef {import("playwright-core").Page} Page */

/** Presses Tab until the element in focus matches. @param {Page} page @param {string} selector */
async function tabTo(page, selector, most = 500) {
  for (let n = 0; n < most; n++) {
    // The page before signing may give way to the one this device keeps.
    const there = await page.evaluate((s) => document.activeElement?.matches(s), selector).catch(() => page.waitForLoadState().then(() => false));
    if (there) return;
    await page.keyboard.press("Tab");
  }
  assert.fail(`Tab does not reach ${selector}`);
}

describe("the exam page", () => {
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

  /** @param {keyof typeof import("./harness.mjs").screens} screen */
  const open = async (screen) => {
    const page = await openPage(browser, program.url, { screen });
    await signIn(page, program);
    return page;
  };

  for (const [screen, nth] of /** @type {const} */ ([["tablet", 0], ["phone", 1], ["laptop", 12]])) {
    it(`takes at most 12 touches for a wholly normal exam on a ${screen}`, async () => {
      const page = await open(screen);
      await page.addInitScript(() => {
        addEventListener("pointerdown", () => sessionStorage.setItem("touches", String(Number(sessionStorage.getItem("touches") ?? 0) + 1)), true);
      });
      await openPerson(page, nth);
      await page.getByRole("button", { name: "Start the foot exam" })[screen === "laptop" ? "click" : "tap"]();
      await page.waitForURL(/edit$/);
      for (const block of blocks) await page.locator(`#block-${block} [data-normal]`)[screen === "laptop" ? "click" : "tap"]();
      await kept(page);
      await page.getByRole("button", { name: "Review and sign" })[screen === "laptop" ? "click" : "tap"]();
      await page.waitForURL(/sign/);
      await page.getByRole("button", { name: /^Sign as/ })[screen === "laptop" ? "click" : "tap"]();
      await page.waitForURL(/exam\/[^/]+$/);
      await page.locator(".lead", { hasText: "Signed by" }).waitFor();
      const touches = Number(await page.evaluate(() => sessionStorage.getItem("touches")));
      assert.ok(touches > 0 && touches <= 12, `${touches} touches from the person to the signature`);
      console.log(`${screen}: ${touches} touches from Start the foot exam to signed`);
      quiet(page);
    });
  }

  it("records by touching the feet, and lost toes leave the drawing at once", async () => {
    const page = await open("tablet");
    await startExam(page, 2);
    const mark = async (/** @type {string} */ feet, /** @type {string} */ side, /** @type {string} */ place) => {
      // What follows from a touch comes right after the next frame.
      await page.evaluate(() => new Promise((done) => requestAnimationFrame(() => setTimeout(() => setTimeout(done)))));
      return placeOf(page, feet, side, place).getAttribute("aria-label");
    };
    assert.match(String(await mark("look", "right", "mth1")), /: not recorded$/);
    await allNormal(page);
    assert.match(String(await mark("look", "right", "mth1")), /: skin normal$/);
    await recordAt(page, "right", "mth1", "[data-kind=callus]");
    assert.match(String(await mark("look", "right", "mth1")), /: callus$/);
    assert.match(String(await mark("look", "right", "heel")), /: no finding here$/);
    assert.ok(await page.locator('input[name="right.look.skin"][value="abnormal"]').isChecked(), "skin with a callus is still normal");

    // Touched again, the finding is taken back and the skin is as it was.
    await recordAt(page, "right", "mth1", "[data-kind=callus]");
    assert.match(String(await mark("look", "right", "mth1")), /: skin normal$/);

    await recordAt(page, "right", "mth1", "[data-kind=fissure]");
    await recordAt(page, "left", "heel", "[data-ulcer]");
    assert.match(String(await mark("look", "left", "heel")), /: open ulcer u\d$/);
    assert.ok(await page.evaluate(() => document.activeElement?.getAttribute("name")?.endsWith("length-mm")), "the ulcer is not led to");
    await page.locator("#flags li").first().waitFor();

    await placeOf(page, "test", "right", "hallux").click();
    assert.match(String(await mark("test", "right", "hallux")), /: not felt$/);
    await placeOf(page, "test", "right", "hallux").click();
    assert.match(String(await mark("test", "right", "hallux")), /: not possible today$/);
    await placeOf(page, "test", "right", "hallux").click();
    assert.match(String(await mark("test", "right", "hallux")), /: not recorded$/);
    await placeOf(page, "test", "right", "hallux").click();
    assert.match(String(await mark("test", "right", "hallux")), /: felt$/);

    await recordAt(page, "left", "hallux", "[data-lost=rays]");
    await placeOf(page, "look", "left", "hallux").waitFor({ state: "hidden" });
    for (const feet of ["look", "test"]) {
      assert.ok(await placeOf(page, feet, "left", "hallux").isHidden(), `a lost toe is still drawn to ${feet}`);
      assert.ok(await placeOf(page, feet, "left", "mth1").isHidden(), `the head of a lost ray is still drawn to ${feet}`);
      assert.ok(await placeOf(page, feet, "right", "mth1").isVisible());
    }
    assert.ok(await page.locator("#f-left\\.test\\.filament\\.hallux").isHidden(), "a lost toe is still asked for");
    assert.ok(await placeOf(page, "look", "left", "toe2").isVisible());

    // A whole foot lost takes its drawing away.
    await page.locator('select[name="right.loss.level"]').selectOption("below-knee");
    await page.locator('[data-feet="look"] svg.foot-sole[data-side="right"] .foot-gone').waitFor();
    assert.equal(await page.locator('[data-feet="look"] svg[data-side="right"] g.place:visible').count(), 0);
    await page.locator('select[name="right.loss.level"]').selectOption("midfoot");
    await placeOf(page, "look", "right", "heel").waitFor();
    await shot(page, "exam-drawn");
    quiet(page);
  });

  it("shows the same drawing from the server as from the script", async () => {
    const page = await open("tablet");
    await startExam(page, 3);
    await allNormal(page);
    await recordAt(page, "right", "mth1", "[data-kind=callus]");
    await recordAt(page, "right", "mth1", "[data-kind=blister]");
    await recordAt(page, "left", "toe5", "[data-lost=toes]");
    await recordAt(page, "left", "mth3", "[data-ulcer]");
    await placeOf(page, "test", "right", "mth1").click();
    await placeOf(page, "test", "left", "mth1").click();
    await placeOf(page, "test", "left", "mth1").click();
    await kept(page);
    await page.waitForTimeout(1200);
    const [here, there] = await page.evaluate(async () => {
      const seen = (/** @type {Document} */ doc) =>
        Array.from(doc.querySelectorAll("svg.foot g.place, svg.foot [data-only]"), (p) =>
          [p.getAttribute("aria-label"), p.getAttribute("class"), p.querySelector("text")?.textContent, p.hasAttribute("hidden")].join(" | "),
        );
      const html = await (await fetch(location.pathname)).text();
      return [seen(document), seen(new DOMParser().parseFromString(html, "text/html"))];
    });
    assert.ok(here.length > 60);
    assert.deepEqual(there, here);
    quiet(page);
  });

  it("signs a complex exam with the keyboard alone", async () => {
    const page = await open("laptop");
    await openPerson(page, 4);
    const press = async (/** @type {string[]} */ ...keys) => {
      for (const key of keys) await page.keyboard.press(key);
    };
    await tabTo(page, "form[action$='/exam'] button");
    await press("Enter");
    await page.waitForURL(/edit$/);
    await page.locator("[data-scripts]").waitFor();

    await tabTo(page, '[name="ask.numbness"]');
    await press("2", "n"); // numb; the rest of the block is normal
    await tabTo(page, '[name="ask.amputation-history"]');
    await press("2");

    // The little toe of the left foot is lost, the heel has an ulcer.
    await tabTo(page, '[data-feet="look"] svg.foot-sole[data-side="left"] g.place');
    await press("Home", "ArrowRight", "ArrowRight", "ArrowRight", "ArrowRight");
    assert.equal(await page.evaluate(() => document.activeElement?.getAttribute("data-place")), "toe5");
    await press("Enter");
    await page.locator("#place[open]").waitFor();
    await press("t", "Escape");
    await page.locator("#place").waitFor({ state: "hidden" });
    assert.ok(await page.evaluate(() => document.activeElement?.matches('svg[data-side="left"] g.place')), "focus is lost after the sheet");
    await press("n", "End", "Enter");
    assert.match(String(await page.locator("#place-title").textContent()), /^Heel, left foot$/);
    await press("u", "Escape");
    await page.keyboard.type("12");
    await press("Tab", "Tab");
    await page.keyboard.type("9");
    await tabTo(page, '[name$=".depth"]');
    await page.keyboard.type("Skin");

    // No pulses on either foot.
    for (const path of ["dorsalis-pedis", "posterior-tibial"]) {
      await tabTo(page, `[name="right.feel.arteries.${path}"]`);
      await press("3", "3"); // right, and on to left
    }
    await press("n");
    await tabTo(page, '[data-feet="test"][data-side="right"] g.place');
    await press("2", "ArrowDown", "2", "n");
    await tabTo(page, '[name="teach.given"]');
    await press("n");
    await page.locator("#result", { hasText: "Dorsalis pedis pulse absent." }).waitFor();
    await page.locator("#result", { hasText: "Amputation: toe 5." }).waitFor();
    await kept(page);

    await tabTo(page, 'button[value="sign"]');
    await press("Enter");
    await page.waitForURL(/sign/);
    await tabTo(page, ".sign-form button");
    await press("Enter");
    await page.waitForURL(/exam\/[^/]+$/);
    await page.locator(".lead", { hasText: "Signed by" }).waitFor();
    await page.locator("#flags li").first().waitFor();
    quiet(page);
  });

  it("signs a complex exam by the names that a screen reader says", async () => {
    const page = await open("tablet");
    await openPerson(page, 5);
    await page.getByRole("button", { name: "Start the foot exam" }).click();
    await page.waitForURL(/edit$/);
    const button = (/** @type {string | RegExp} */ name) => page.getByRole("button", { name });
    await button(/^Record no symptoms/).click();
    await page.getByRole("group", { name: "Amputation of a toe, foot or leg" }).getByRole("radio", { name: "Yes" }).click();
    await button(/^Record both feet whole/).click();
    const sole = page.getByRole("group", { name: "Left foot, sole" }).first();
    await sole.getByRole("button", { name: "Little toe: skin normal" }).click();
    const sheet = page.getByRole("dialog", { name: "Little toe, left foot" });
    await sheet.getByRole("button", { name: "This toe is lost" }).click();
    await sheet.getByRole("button", { name: "Done" }).click();
    assert.equal(await sole.getByRole("button", { name: /^Little toe/ }).count(), 0);
    await sole.getByRole("button", { name: "Heel: skin normal" }).click();
    await page.getByRole("dialog", { name: "Heel, left foot" }).getByRole("button", { name: "Open ulcer" }).click();
    await page.getByRole("dialog").getByRole("button", { name: "Done" }).click();
    await page.getByLabel(/^Longest diameter, Ulcer u\d, left foot, mm$/).fill("12");
    await page.getByLabel(/^Widest at right angles, Ulcer u\d, left foot, mm$/).fill("9");
    await page.getByLabel(/^Deepest tissue, Ulcer u\d, left foot$/).selectOption({ label: "Skin only" });
    for (const pulse of ["Dorsalis pedis pulse", "Posterior tibial pulse"]) {
      for (const side of ["right", "left"]) {
        await page.getByRole("group", { name: `${pulse}, ${side} foot` }).getByRole("radio", { name: "Absent", exact: true }).click();
      }
    }
    await button(/^Record both feet normal to feel/).click();
    await button(/^Record everything felt/).click();
    const sites = page.getByRole("region", { name: "Monofilament, 10 g" }).getByRole("group", { name: "Right foot, sole" });
    await sites.getByRole("button", { name: "Great toe: felt" }).click();
    await sites.getByRole("button", { name: "Great toe: not felt" }).waitFor();
    await button(/^Record taught/).click();
    await page.getByRole("region", { name: "Result", exact: true }).getByText("Posterior tibial pulse absent.").first().waitFor();
    await page.getByRole("status").filter({ hasText: /^Draft kept \d/ }).waitFor();
    await button("Review and sign").click();
    await page.waitForURL(/sign/);
    await button(/^Sign as/).click();
    await page.waitForURL(/exam\/[^/]+$/);
    await page.getByRole("heading", { name: /^Foot exam of/ }).waitFor();
    quiet(page);
  });

  it("shows beside today what the last exam found, and fills in nothing of it", async () => {
    const page = await open("tablet");
    await page.goto("/ulcers");
    await page.getByRole("link", { name: "The exam", exact: true }).first().click();
    await page.locator(".crumb a").click();
    await page.waitForURL(/person/);
    await page.locator("form[action$='/exam'] button, a.button[href$='/edit']").first().click();
    await page.waitForURL(/edit$/);
    const found = page.locator('[data-feet="look"] g.place[data-was]').first();
    const label = () => found.getAttribute("aria-label");
    assert.match(String(await label()), /: not recorded$/, "last time's finding was filled in");
    assert.equal(await page.locator(".was:visible").count(), 0);
    const last = page.getByRole("checkbox", { name: /^Show last time/ });
    await last.check({ force: true });
    assert.match(String(await label()), /: not recorded; last time ./);
    assert.ok((await page.locator("p.was:visible").count()) > 0, "no question says what was answered last time");
    await axe(page, "last time shown");
    await last.uncheck({ force: true });
    assert.match(String(await label()), /: not recorded$/);
    quiet(page);
  });

  it("lifts the result over the page on a tablet and gives the focus back", async () => {
    const page = await open("tablet");
    await startExam(page, 6);
    const see = page.getByRole("button", { name: "See result" });
    await see.click();
    const back = page.getByRole("button", { name: "Back to the exam" });
    await back.waitFor();
    assert.ok(await page.locator("#result").isVisible());
    await page.keyboard.press("Escape");
    await back.waitFor({ state: "hidden" });
    assert.ok(await see.evaluate((b) => b === document.activeElement));
    quiet(page);
  });

  for (const screen of /** @type {const} */ (["tablet", "phone", "laptop"])) {
    it(`has places that a finger can hit on a ${screen}`, async () => {
      const page = await open(screen);
      await startExam(page, 6);
      await page.locator('input[name="protocol"][value="ten-sites"]').click();
      for (const view of ["sole", "top"]) {
        await page.locator(`input[name="-view"][value="${view}"]`).check({ force: true });
        const small = await page.locator("g.place:visible .target").evaluateAll((targets) =>
          targets.flatMap((t) => {
            const { width, height } = t.getBoundingClientRect();
            return Math.min(width, height) < 44 ? [`${t.parentElement?.getAttribute("aria-label")}: ${width.toFixed(1)} x ${height.toFixed(1)}`] : [];
          }),
        );
        assert.deepEqual(small, []);
      }
    });

    it(`has no accessibility fault in any state on a ${screen}, light or dark`, async () => {
      const page = await open(screen);
      await startExam(page, { tablet: 7, phone: 9, laptop: 11 }[screen]);
      const look = (/** @type {string} */ state) => inBoth(page, `exam-${state}-${screen}`);
      await look("empty");
      await page.locator("#block-look [data-normal]").click();
      await page.locator("#block-test [data-normal]").click();
      await placeOf(page, "look", "right", "mth1").click();
      await page.locator("#place [data-kind=callus]").click();
      await look("dialog");
      await page.locator("#place [data-done]").click();
      await placeOf(page, "test", "left", "mth1").click();
      await page.locator("#result", { hasText: "Callus" }).first().waitFor();
      await look("half");
      await recordAt(page, "right", "heel", "[data-ulcer]");
      await page.locator("#flags li").first().waitFor();
      if (screen !== "laptop") await page.locator("[data-lift]").click();
      await look("red-flag");
      quiet(page);
    });
  }
});
