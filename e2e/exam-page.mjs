// What the tests of the exam page share: opening it, its drawings, and waiting.
import assert from "node:assert/strict";

/** @typedef {import("playwright-core").Page} Page */

export const blocks = ["ask", "look", "feel", "test", "teach"];

/**
 * Opens the page of somebody whose exam would count; each number is another
 * person.
 * @param {Page} page @param {number} nth
 */
export async function openPerson(page, nth) {
  await page.goto("/measure?who=open");
  const people = await page.locator(".cell-who a").evaluateAll((links) => links.map((a) => String(a.getAttribute("href"))));
  assert.ok(people.length > nth, `there are only ${people.length} people with an open exam`);
  await page.goto(String(people[nth]));
}

/** Opens the person and starts the exam. @param {Page} page @param {number} nth */
export async function startExam(page, nth) {
  await openPerson(page, nth);
  await page.locator("form[action$='/exam'] button, a.button[href$='/edit']").first().click();
  await page.waitForURL(/edit$/);
  await page.locator("[data-scripts]").waitFor();
}

/**
 * A place of a drawing: "look" or "test", "right" or "left".
 * @param {Page} page @param {string} feet @param {string} side @param {string} place
 */
export const placeOf = (page, feet, side, place) =>
  page.locator(`[data-feet="${feet}"] svg[data-side="${side}"] g[data-place="${place}"]`);

/** Waits until the draft as it stands is kept. @param {Page} page */
export const kept = (page) => page.locator("#kept", { hasText: /^Draft kept \d/ }).waitFor();

/** Records every block as normal. @param {Page} page */
export async function allNormal(page) {
  for (const block of blocks) await page.locator(`#block-${block} [data-normal]`).click();
}

/** Touches a place and records something there. @param {Page} page @param {string} side @param {string} place @param {string} chip */
export async function recordAt(page, side, place, chip) {
  await placeOf(page, "look", side, place).click();
  await page.locator(`#place ${chip}`).click();
  await page.locator("#place [data-done]").click();
}
