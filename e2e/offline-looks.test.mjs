// How the pages look that a device draws out of reach of the practice: no
// accessibility fault and nothing wider than the screen, at each size, light and
// dark. One walk leads through the states; offline.test.mjs tests what they do.
import assert from "node:assert/strict";
import { after, before, describe, it } from "node:test";
import { allNormal, kept } from "./exam-page.mjs";
import { fits, inBoth, openBrowser, openPage, screens, signIn, startProgram } from "./harness.mjs";
import { Network } from "./network.mjs";
import { answer, ready } from "./offline.mjs";

/** @typedef {import("playwright-core").Page} Page */

/** Looks at the page as it stands at each size, light and dark. @param {Page} page @param {string} name */
async function look(page, name) {
  for (const [screen, size] of Object.entries(screens)) {
    await page.setViewportSize(size);
    await inBoth(page, `looks-${name.replaceAll(" ", "-")}-${screen}`);
    await fits(page, `${name}, ${screen}`);
  }
  await page.setViewportSize(screens.tablet);
}

describe("the looks of a device without the network", () => {
  /** @type {import("./harness.mjs").Program} */
  let program;
  /** @type {Network} */
  let network;
  /** @type {import("playwright-core").Browser} */
  let browser;
  /** The device that is looked at, and another one. @type {Page} */
  let page;
  /** @type {Page} */
  let other;

  before(async () => {
    program = await startProgram();
    network = await new Network(program.url).open();
    browser = await openBrowser();
    page = await openPage(browser, network.url);
    other = await openPage(browser, network.url);
    await signIn(page, program);
    await page.goto("/due");
    const people = await page.locator("tbody th a").evaluateAll((links) => links.map((a) => a.getAttribute("href") ?? ""));
    await page.goto(String(people[2]));
    await page.getByRole("button", { name: "Start the foot exam" }).click();
    await page.waitForURL(/edit$/);
    await ready(page);
    await allNormal(page);
    await kept(page);
    await signIn(other, program);
    await other.goto(page.url());
    await ready(other);
    network.cut();
    await answer(page, "right.look.nails", "abnormal");
    await answer(page, "left.look.wound", "abnormal");
    await answer(other, "left.look.nails", "abnormal");
    for (const p of [page, other]) await p.locator("#kept", { hasText: "No connection" }).waitFor();
    // The other device signs the same exam, too.
    await other.getByRole("button", { name: "Review and sign" }).click();
    await other.waitForURL(/sign\?device$/);
    await other.getByRole("button", { name: /^Sign as/ }).click();
    await other.locator("li[data-state=waiting]").waitFor();
  });
  after(async () => {
    await browser?.close();
    await network?.close();
    await program?.stop();
  });

  it("holds on the exam page, with a red flag", async () => {
    await page.locator("#flags li").first().waitFor();
    assert.ok(await page.locator("#kept").isVisible(), "where the draft is kept is not in sight");
    await look(page, "offline exam");
  });

  it("holds on the page before signing", async () => {
    await page.getByRole("button", { name: "Review and sign" }).click();
    await page.waitForURL(/sign\?device$/);
    await page.getByRole("button", { name: /^Sign as/ }).waitFor();
    await look(page, "offline sign");
  });

  it("holds on the list of what waits", async () => {
    await page.getByRole("button", { name: /^Sign as/ }).click();
    await page.locator("li[data-state=waiting]").waitFor();
    assert.ok(await page.locator(".only-offline").isHidden(), "the list says that another page was asked for");
    await look(page, "offline waiting");
  });

  it("says so where the list stands in for another page", async () => {
    await page.goto("/due");
    await page.getByText("The practice cannot be reached").waitFor();
    await page.getByRole("link", { name: "Try again" }).waitFor();
    await look(page, "offline instead");
  });

  it("holds on a conflict and on both versions of an exam", async () => {
    network.mend();
    await other.getByRole("button", { name: "Send now" }).click().catch(() => {}); // it may have gone by itself
    await other.getByText("Nothing waits to be sent.").or(other.locator("li[data-state=conflict]")).first().waitFor();
    await page.goto("/device");
    await page.getByRole("button", { name: "Send now" }).click().catch(() => {});
    await page.locator("li[data-state=waiting]").waitFor({ state: "detached" });
    // Whichever came second is told.
    const late = (await page.locator("li[data-state=conflict]").count()) > 0 ? page : other;
    await late.goto("/device");
    await late.locator("li[data-state=conflict]").waitFor();
    await late.locator(".waiting", { hasText: "1 signed exam waits for a decision" }).waitFor();
    await look(late, "offline conflict");
    await late.getByRole("link", { name: "Compare the two" }).click();
    await late.getByRole("heading", { name: "Two versions of one exam" }).waitFor();
    await look(late, "two versions");
  });

  it("holds where nobody is signed in", async () => {
    network.mend();
    const nobody = await openPage(browser, network.url);
    await nobody.goto("/device");
    await nobody.getByText("Nothing is kept on this device.", { exact: true }).waitFor();
    await look(nobody, "nobody");
  });
});
