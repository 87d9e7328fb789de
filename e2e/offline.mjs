// What the tests of a device without the network share.
import assert from "node:assert/strict";

/** @typedef {import("playwright-core").Page} Page */

/** Records an answer of the exam page. @param {Page} page @param {string} path @param {string} value */
export const answer = (page, path, value) =>
  page.locator(`input[name="${path}"][value="${value}"]`).evaluate((input) => /** @type {HTMLInputElement} */ (input).click());

/**
 * Waits until the device can do without the network: the service worker looks
 * after the page, the kernel is kept, and so is the exam that is open, if one is.
 * A wait of the browser's helper would not wait for what is asked asynchronously.
 * @param {Page} page
 */
export async function ready(page) {
  const lacks = () =>
    page.evaluate(async () => {
      if (!navigator.serviceWorker.controller) return "a service worker";
      const names = [];
      for (const name of await caches.keys()) {
        for (const request of await (await caches.open(name)).keys()) names.push(new URL(request.url).pathname);
      }
      if (!names.includes("/exam/shell")) return "the empty page";
      if (!names.some((name) => /kernel-[^w].*wasm\.gz$/.test(name))) return "the kernel";
      const exam = document.querySelector("form#exam")?.getAttribute("data-exam");
      if (!exam) return "";
      // Opening what is not there would make it, and empty.
      if (!(await indexedDB.databases()).some((d) => d.name === "tengram")) return "the database";
      const db = await new Promise((resolve) => {
        const open = indexedDB.open("tengram");
        open.onsuccess = () => resolve(open.result);
      });
      const get = /** @type {IDBDatabase} */ (db).transaction("entries").objectStore("entries").getKey(`case/${exam}`);
      const found = await new Promise((resolve) => (get.onsuccess = () => resolve(get.result)));
      /** @type {IDBDatabase} */ (db).close();
      return found ? "" : "the exam";
    });
  let missing = "";
  for (let i = 0; i < 300; i++) {
    missing = await lacks();
    if (missing === "") return;
    await page.waitForTimeout(100);
  }
  assert.fail(`after half a minute the device still lacks ${missing}`);
}
