// The straight line, on a tablet: who is due, the person, the exam, the result,
// the signature, and what it changes. Each page on the way is looked at by the
// machine for faults of accessibility, and a picture of it is saved.
import assert from "node:assert/strict";
import { after, before, describe, it } from "node:test";
import { axe, inBoth, fits, openBrowser, openPage, quiet, shot, signIn, startProgram } from "./harness.mjs";

/** @typedef {import("playwright-core").Page} Page */

const blocks = ["ask", "look", "feel", "test", "teach"];

/**
 * Checks a page as a whole: made as tall as it is, so that nothing is covered by
 * what stays in place while scrolling; both: in light and in dark.
 * @param {Page} page @param {string} name @param {boolean} both
 */
async function look(page, name, both = false) {
  const size = page.viewportSize() ?? { width: 820, height: 1180 };
  const height = await page.evaluate(() => document.documentElement.scrollHeight);
  await page.setViewportSize({ width: size.width, height });
  await page.evaluate(() => scrollTo(0, 0));
  if (both) {
    await inBoth(page, name);
  } else {
    await shot(page, name);
    await axe(page, name);
  }
  await fits(page, name);
  await page.setViewportSize(size);
}

/** @param {Page} page @param {string} path @param {string} value */
const answer = (page, path, value) => page.locator(`input[name="${path}"][value="${value}"]`).click();

/** Waits until the draft as it stands is kept. @param {Page} page */
const kept = (page) => page.locator("#kept", { hasText: /^Draft kept \d/ }).waitFor();

/** How many meet the measure. @param {Page} page */
async function met(page) {
  await page.goto("/measure");
  return Number(await page.locator('.cells a[href*="who=met"] b').textContent());
}

/** Opens somebody who is due and whose exam would count. @param {Page} page */
async function openSomebodyDue(page, nth = 0) {
  await page.goto("/due");
  const due = new Set(await page.locator("tbody th a").evaluateAll((links) => links.map((a) => a.getAttribute("href"))));
  await page.goto("/measure?who=open");
  const open = await page.locator(".cell-who a").evaluateAll((links) => links.map((a) => a.getAttribute("href")));
  const both = open.filter((href) => due.has(href));
  assert.ok(both.length > nth, "nobody is both due and open in the measure");
  return String(both[nth]);
}

describe("the straight line", () => {
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

  it("goes from the due list to the printed page", async () => {
    const page = await openPage(browser, program.url, { screen: "tablet" });
    await signIn(page, program);
    const before = await met(page);
    const person = await openSomebodyDue(page);
    const id = decodeURIComponent(person.split("/").at(-1) ?? "");

    await page.goto(`/due`);
    await page.getByLabel("Find by name or record").fill(id);
    await page.locator("#due-list .count", { hasText: "1 person" }).waitFor();
    await look(page, "due-filtered");
    await page.locator("tbody th a").click();
    await page.waitForURL(/person/);
    await look(page, "person");

    // A wholly normal exam: five touches, then two to sign.
    await page.getByRole("button", { name: "Start the foot exam" }).click();
    await page.waitForURL(/edit$/);
    await look(page, "exam-empty");
    assert.match(String(await page.locator("#gist").textContent()), /between|0, very low/);
    for (const block of blocks) await page.locator(`#block-${block} [data-normal]`).click();
    await kept(page);
    await look(page, "exam-normal");

    // Then the exceptions.
    await answer(page, "right.test.filament.hallux", "abnormal");
    await answer(page, "right.test.filament.mth1", "abnormal");
    await answer(page, "left.feel.arteries.dorsalis-pedis", "absent");
    await page.locator("#result", { hasText: "Dorsalis pedis pulse absent." }).waitFor();
    await page.locator("#result", { hasText: "Loss of protective sensation." }).waitFor();
    assert.match(String(await page.locator("#gist").textContent()), /Risk (2, moderate|3, high|between)/);
    await look(page, "exam-result");

    // Left and opened again, it is as it was.
    await page.locator("#kept", { hasText: "Draft kept" }).waitFor();
    await page.waitForTimeout(1500);
    await page.reload();
    assert.ok(await page.locator('input[name="right.test.filament.hallux"][value="abnormal"]').isChecked());
    assert.ok(await page.locator('input[name="left.look.skin"][value="normal"]').isChecked());

    await page.getByRole("button", { name: "Review and sign" }).click();
    await page.waitForURL(/sign$/);
    await look(page, "sign");
    await page.getByRole("button", { name: /^Sign as/ }).click();
    await page.waitForURL(/exam\/[^/]+$/);
    await look(page, "signed");
    const address = page.url();

    await page.goto(`/due?q=${encodeURIComponent(id)}`);
    await page.getByText("Nobody on this list.").waitFor();
    assert.equal(await met(page), before + 1, "the measure did not move by one");
    await look(page, "measure");

    await page.goto(`${address}/print`);
    await look(page, "print");
    for (const format of ["Letter", "A4"]) {
      const paper = (await page.pdf({ format })).toString("latin1");
      assert.equal(paper.match(/\/Type\s*\/Page\b(?!s)/g)?.length, 1, `the page does not fit one side of ${format}`);
    }
    quiet(page);
  });

  it("amends a signed exam and keeps both revisions", async () => {
    const page = await openPage(browser, program.url, { screen: "tablet" });
    await signIn(page, program);
    await page.goto("/ulcers");
    await page.getByRole("link", { name: "The exam", exact: true }).first().click();
    await page.getByRole("button", { name: "Amend with a reason" }).click();
    await page.waitForURL(/edit$/);
    await answer(page, "right.look.nails", "abnormal");
    await kept(page);
    await page.getByRole("button", { name: "Review and sign" }).click();
    await page.getByLabel("Why is the exam amended?").fill("Nails were looked at again.");
    await look(page, "amend-sign");
    await page.getByRole("button", { name: /^Sign as/ }).click();
    await page.waitForURL(/exam\/[^/]+$/);
    await page.getByText("Why: Nails were looked at again.").waitFor();
    await page.getByText("Revision 1", { exact: true }).waitFor();
    await look(page, "amended");
    quiet(page);
  });

  it("follows a referral to its result", async () => {
    const page = await openPage(browser, program.url, { screen: "tablet" });
    await signIn(page, program);
    await page.goto("/referrals");
    const first = page.locator(".referrals > li").first();
    const who = String(await first.locator("h2").textContent());
    const says = String(await first.locator("strong").first().textContent());
    await first.locator("summary", { hasText: "Record a step" }).click();
    await look(page, "referral-step");
    await first.locator("label", { hasText: "Closed, with the result" }).click();
    await first.getByLabel("Result or note").fill("Seen on Tuesday, insoles ordered.");
    await first.getByRole("button", { name: "Record the step" }).click();
    await page.waitForURL(/referrals$/);
    const left = await page.locator(".referrals > li").evaluateAll((all) => all.map((li) => li.textContent ?? ""));
    assert.ok(!left.some((text) => text.includes(who) && text.includes(says)), "a closed referral is still open");
    quiet(page);
  });

  it("needs no script", async () => {
    const context = await browser.newContext({ baseURL: program.url, javaScriptEnabled: false, viewport: { width: 820, height: 1180 } });
    const page = await context.newPage();
    await signIn(page, program);
    await page.goto(await openSomebodyDue(page, 1));
    await page.getByRole("button", { name: "Start the foot exam" }).click();
    for (const block of blocks) await page.locator(`#block-${block} .normal-do`).click();
    await page.locator('input[name="left.look.skin"][value="abnormal"]').check({ force: true });
    await page.locator('select[name="left.look.lesions.0.kind"]').selectOption("fissure");
    await page.locator('select[name="left.look.lesions.0.place"]').selectOption("heel");
    await page.getByRole("button", { name: "Save and show the result" }).click();
    await page.getByText("Fissure, heel.").first().waitFor();
    assert.equal(await page.locator('select[name="left.look.lesions.1.kind"]').inputValue(), "", "no empty row follows the used one");
    await page.getByRole("button", { name: "Review and sign" }).click();
    await page.getByRole("button", { name: /^Sign as/ }).click();
    await page.locator(".lead", { hasText: "Signed by" }).waitFor();
    await context.close();
  });

  it("posts the same exam from the script as from the plain form", async () => {
    const page = await openPage(browser, program.url, { screen: "tablet" });
    await signIn(page, program);
    await page.goto(await openSomebodyDue(page, 2));
    await page.getByRole("button", { name: "Start the foot exam" }).click();
    await page.waitForURL(/edit$/);
    await page.locator("#block-look [data-normal]").click();
    await page.locator("#group-vitals > summary").click();
    await page.locator('input[name="vitals.temperature-c"]').fill("38.5");
    await page.locator('input[name="ask.a1c-percent"]').fill("7.25");
    const [sent] = await Promise.all([
      page.waitForRequest((r) => {
        // Under load an earlier draft may hold the number and not yet the answer.
        const asked = r.postData() ?? "";
        return r.url().endsWith("/draft") && asked.includes("7.25") && asked.includes('"numbness":"yes"');
      }),
      answer(page, "ask.numbness", "yes"),
    ]);
    const document = JSON.parse(sent.postData() ?? "{}");
    assert.equal(document.vitals["temperature-c"], 38.5);
    assert.equal(document.right.look.skin, "normal");
    const [plain, scripted] = await page.evaluate(async (draft) => {
      const form = /** @type {HTMLFormElement} */ (document.querySelector("form#exam"));
      const body = new URLSearchParams();
      for (const [name, value] of /** @type {any} */ (new FormData(form))) body.append(name, String(value));
      const judge = async (/** @type {RequestInit} */ how) => (await fetch(location.pathname.replace("/edit", "/preview"), { method: "POST", ...how })).text();
      return [await judge({ body }), await judge({ body: draft, headers: { "Content-Type": "application/json" } })];
    }, sent.postData() ?? "");
    assert.ok(plain.length > 1000);
    assert.equal(plain, scripted);
    await page.locator("#f-ask\\.a1c-percent .problem", { hasText: "at most one decimal" }).waitFor();
    quiet(page);
  });

  it("is worked with the keyboard", async () => {
    const page = await openPage(browser, program.url, { screen: "laptop" });
    await signIn(page, program);
    await page.goto(await openSomebodyDue(page, 3));
    await page.getByRole("button", { name: "Start the foot exam" }).click();
    await page.waitForURL(/edit$/);
    await page.locator('input[name="ask.numbness"]').first().focus();
    await page.keyboard.press("2");
    await page.keyboard.press("1");
    await page.keyboard.press("j");
    await page.keyboard.press("k");
    await page.keyboard.press("1");
    const value = (/** @type {string} */ path) => page.locator(`input[name="${path}"]:checked`).inputValue();
    assert.equal(await value("ask.numbness"), "yes");
    assert.equal(await value("ask.neuropathic-pain"), "no");
    assert.equal(await value("ask.claudication"), "no");
    await page.keyboard.press("k");
    await page.keyboard.press("0");
    assert.equal(await value("ask.claudication"), "", "0 did not take the answer back");
    await look(page, "exam-laptop");
    quiet(page);
  });

  it("takes an answer back by touch, and a whole block", async () => {
    const page = await openPage(browser, program.url, { screen: "tablet" });
    await signIn(page, program);
    await page.goto(await openSomebodyDue(page, 4));
    await page.getByRole("button", { name: "Start the foot exam" }).click();
    await page.waitForURL(/edit$/);
    const felt = page.locator('input[name="left.test.vibration"][value="normal"]');
    await felt.click();
    assert.ok(await felt.isChecked());
    await felt.click();
    assert.ok(!(await felt.isChecked()), "a second touch did not take it back");
    await answer(page, "left.test.vibration", "abnormal");
    await page.locator("#block-test [data-normal]").click();
    assert.ok(await page.locator('input[name="left.test.vibration"][value="abnormal"]').isChecked(), "an answer that was there was changed");
    await page.locator("#block-test").getByRole("button", { name: "Take back" }).click();
    assert.ok(!(await page.locator('input[name="right.test.vibration"][value="normal"]').isChecked()));
    assert.ok(await page.locator('input[name="left.test.vibration"][value="abnormal"]').isChecked());

    // A toe that is gone is not asked about.
    await page.locator('select[name="right.loss.level"]').selectOption("toes");
    await page.locator("#f-right\\.loss\\.toes summary").click();
    await answer(page, "right.loss.toes", "1");
    await page.locator("#f-right\\.test\\.filament\\.hallux").waitFor({ state: "hidden" });
    await page.locator('[data-gone-note="right.test.filament.hallux"]').waitFor();
    await look(page, "exam-toe-lost");
    quiet(page);
  });

  for (const screen of /** @type {const} */ (["tablet", "phone"])) {
    it(`has no accessibility fault on a ${screen}, light or dark`, async () => {
      const page = await openPage(browser, program.url, { screen });
      const both = (/** @type {string} */ name) => look(page, `${name}-${screen}`, true);
      await page.goto("/sign-in");
      await both("sign-in");
      await signIn(page, program);
      for (const [name, path] of [
        ["today", "/"],
        ["due", "/due?who=all"],
        ["ulcers", "/ulcers"],
        ["referrals", "/referrals"],
        ["measure", "/measure"],
        ["import", "/import"],
        ["about", "/about"],
      ]) {
        await page.goto(String(path));
        await both(String(name));
      }
      await page.goto("/ulcers");
      await page.getByRole("link", { name: "The exam", exact: true }).first().click();
      await both("signed");
      await page.goto(await openSomebodyDue(page, 5));
      await both("person");
      await page.locator("form[action$='/exam'] button, a.button[href$='/edit']").first().click();
      await page.waitForURL(/edit$/);
      await page.locator("#block-feel [data-normal]").click();
      await answer(page, "right.look.gangrene", "toe");
      await page.locator("#flags li").first().waitFor();
      await page.locator("details.group-folded").evaluateAll((all) => all.forEach((d) => d.setAttribute("open", "")));
      await both("exam");
      await page.goto("/nowhere");
      await both("not-found");
    });
  }
});
