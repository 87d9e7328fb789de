// Without the network: an exam goes on, is signed, waits, is sent once; a dead
// battery loses nothing; nothing readable stays behind. The network between the
// browser and the program is cut for real (network.mjs).
import assert from "node:assert/strict";
import { createHash } from "node:crypto";
import { mkdtemp, readdir, readFile, rm } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { after, afterEach, before, describe, it } from "node:test";
import { chromium } from "playwright-core";
import { axe, fits, openBrowser, openPage, shot, signIn, startProgram } from "./harness.mjs";
import { Network } from "./network.mjs";
import { answer, ready } from "./offline.mjs";

/** @typedef {import("playwright-core").Page} Page */

const blocks = ["ask", "look", "feel", "test", "teach"];

/** Something that no page of the program says by itself. */
const finding = "Zwiebelmuster am linken Knoechel";

/** @param {Page} page */
const kept = (page) => page.locator("#kept", { hasText: /^Draft kept \d/ }).waitFor();

/** What the vault holds, as anybody with the device reads it. @param {Page} page */
const entries = (page) =>
  page.evaluate(async () => {
    const db = await new Promise((resolve, reject) => {
      const open = indexedDB.open("tengram");
      open.onsuccess = () => resolve(open.result);
      open.onerror = () => reject(open.error);
    });
    const all = (/** @type {string} */ store) =>
      new Promise((resolve) => {
        const get = /** @type {IDBDatabase} */ (db).transaction(store).objectStore(store).getAll();
        get.onsuccess = () => resolve(get.result);
      });
    const found = { entries: await all("entries"), keys: (await all("key")).length, notes: (await all("note")).length };
    /** @type {IDBDatabase} */ (db).close();
    return found;
  });

/** Waits until the vault holds such an entry. @param {Page} page @param {string} kind */
async function held(page, kind) {
  for (let i = 0; i < 100; i++) {
    const { entries: list } = await entries(page);
    if (list.some((/** @type {{kind: string}} */ e) => e.kind === kind)) return;
    await page.waitForTimeout(50);
  }
  assert.fail(`no ${kind} is kept`);
}

describe("without the network", () => {
  /** @type {import("./harness.mjs").Program} */
  let program;
  /** @type {Network} */
  let network;
  /** @type {import("playwright-core").Browser} */
  let browser;
  /** People who are due, each for one test. @type {string[]} */
  let people = [];

  before(async () => {
    program = await startProgram();
    network = await new Network(program.url).open();
    browser = await openBrowser();
    const page = await openPage(browser, program.url);
    await signIn(page, program);
    await page.goto("/due");
    people = (await page.locator("tbody th a").evaluateAll((links) => links.map((a) => a.getAttribute("href") ?? ""))).slice(2);
    await page.context().close();
  });
  after(async () => {
    await browser?.close();
    await network?.close();
    await program?.stop();
  });

  afterEach(() => network.mend());

  const somebody = () => String(people.shift());

  /** Opens a page of a device of its own. @param {Parameters<typeof openPage>[2]} [options] */
  const device = (options) => openPage(browser, network.url, options);

  /** Starts an exam; returns its id. @param {Page} page @param {string} [person] */
  async function start(page, person = somebody()) {
    await page.goto(person);
    await page.getByRole("button", { name: "Start the foot exam" }).click();
    await page.waitForURL(/edit$/);
    return page.url().split("/").at(-2) ?? "";
  }

  /** Records a whole exam. @param {Page} page */
  async function recordAll(page) {
    for (const block of blocks) await page.locator(`#block-${block} [data-normal]`).click();
  }

  /** @param {Page} page @param {string} path */
  const get = (page, path) =>
    page.evaluate(async (path) => {
      const answer = await fetch(path);
      return { status: answer.status, text: await answer.text() };
    }, path);

  it("goes on after the page was killed, is signed, and is sent once, byte for byte", async () => {
    const page = await device();
    await signIn(page, program);
    const exam = await start(page);
    await ready(page);
    await recordAll(page);
    await kept(page);

    network.cut();
    await answer(page, "right.test.filament.hallux", "abnormal");
    await answer(page, "right.test.filament.mth1", "abnormal");
    await page.locator("#kept", { hasText: "Kept on this device. No connection" }).waitFor();
    // The same rules judge here.
    await page.locator("#result", { hasText: "Loss of protective sensation." }).waitFor();
    await shot(page, "offline-exam");
    await page.close({ runBeforeUnload: false });

    const again = await page.context().newPage();
    await again.goto(`/exam/${exam}/edit`);
    await again.locator("form#exam").waitFor();
    assert.ok(await again.locator('input[name="right.test.filament.hallux"][value="abnormal"]').isChecked(), "the last touch is lost");
    assert.ok(await again.locator('input[name="left.look.skin"][value="normal"]').isChecked());
    await shot(again, "offline-reopened");
    await again.getByRole("button", { name: "Review and sign" }).click();
    await again.waitForURL(/sign\?device$/);
    await again.getByText("Loss of protective sensation.").first().waitFor({ state: "attached" });
    await shot(again, "offline-sign");
    await again.getByRole("button", { name: /^Sign as/ }).click();
    await again.waitForURL(/device$/);
    await again.locator("li[data-state=waiting]").waitFor();
    await axe(again, "on this device");
    await fits(again, "on this device");
    await shot(again, "offline-waiting");

    // The first three answers are lost on the way back.
    const before = network.asked.length;
    network.lose(3, (a) => a.path === `/exam/${exam}/signed`);
    network.mend();
    await again.getByRole("button", { name: "Send now" }).click();
    await again.getByText("Nothing waits to be sent.").waitFor({ timeout: 60_000 });
    const sent = network.asked.slice(before).filter((a) => a.path === `/exam/${exam}/signed`);
    assert.equal(sent.length, 4, "three lost answers and one that came");
    assert.equal(new Set(sent.map((a) => a.headers["idempotency-key"])).size, 1);
    assert.equal(new Set(sent.map((a) => a.body)).size, 1);

    const signed = await get(again, `/exam/${exam}/signed.json`);
    assert.equal(signed.text, sent[0]?.body, "what is kept is not what was signed");
    const document = JSON.parse(signed.text);
    assert.equal(document.right.test.filament.hallux, "abnormal");
    const revisions = JSON.parse((await get(again, `/exam/${exam}/document.json`)).text);
    assert.equal(revisions.length, 1, "there is not exactly one exam");
    assert.equal(createHash("sha256").update(signed.text).digest("hex").length, 64);
    const { entries: left } = await entries(again);
    assert.deepEqual(left, [], "the device still keeps something of a sent exam");
    await again.context().close();
  });

  it("sends its draft when the network is back, without being asked", async () => {
    const page = await device();
    await signIn(page, program);
    const exam = await start(page);
    await ready(page);
    await answer(page, "ask.numbness", "yes");
    await kept(page);
    network.cut();
    await answer(page, "ask.claudication", "yes");
    await page.locator("#kept", { hasText: "No connection" }).waitFor();
    await page.close({ runBeforeUnload: false });
    network.mend();
    // Opened with the network, the newer answers are those of the device.
    const again = await page.context().newPage();
    await again.goto(`/exam/${exam}/edit`);
    await again.waitForURL(/edit\?device$/);
    assert.ok(await again.locator('input[name="ask.claudication"][value="yes"]').isChecked());
    await kept(again);
    await again.goto(`/exam/${exam}/edit`);
    await again.locator("form#exam").waitFor();
    assert.ok(!again.url().includes("?device"));
    assert.ok(await again.locator('input[name="ask.claudication"][value="yes"]').isChecked(), "the practice does not have the draft");
    await again.context().close();
  });

  it("asks a person where the draft was changed here and elsewhere", async () => {
    const page = await device();
    await signIn(page, program);
    const exam = await start(page);
    await ready(page);
    await answer(page, "ask.numbness", "yes");
    await kept(page);
    network.cut();
    await answer(page, "ask.claudication", "yes");
    await page.locator("#kept", { hasText: "No connection" }).waitFor();
    await page.close({ runBeforeUnload: false });
    await new Promise((done) => setTimeout(done, 1000)); // what the page sends last as it goes is lost, too
    network.mend();
    const other = await device();
    await signIn(other, program);
    await other.goto(`/exam/${exam}/edit`);
    await answer(other, "ask.rest-pain", "yes");
    await kept(other);
    await other.context().close();

    const again = await page.context().newPage();
    await again.goto(`/exam/${exam}/edit`);
    await again.locator(".device-ask").waitFor();
    assert.match(String(await again.locator(".device-ask").textContent()), /2 answers differ\./);
    await axe(again, "two drafts");
    await shot(again, "offline-two-drafts");
    await again.getByRole("button", { name: "Go on with the answers on this device" }).click();
    await again.waitForURL(/edit\?device$/);
    assert.ok(await again.locator('input[name="ask.claudication"][value="yes"]').isChecked());
    assert.ok(!(await again.locator('input[name="ask.rest-pain"][value="yes"]').isChecked()), "two drafts were merged in silence");
    await again.context().close();
  });

  it("keeps both where one exam was signed on two devices, and shows both", async () => {
    const one = await device();
    await signIn(one, program);
    const exam = await start(one);
    await ready(one);
    await recordAll(one);
    await kept(one);
    const two = await device();
    await signIn(two, program);
    await two.goto(`/exam/${exam}/edit`);
    await ready(two);
    await held(two, "case");
    network.cut();
    await answer(one, "right.look.nails", "abnormal");
    await answer(two, "left.look.nails", "abnormal");
    for (const page of [one, two]) {
      await page.locator("#kept", { hasText: "No connection" }).waitFor();
      await page.getByRole("button", { name: "Review and sign" }).click();
      await page.waitForURL(/sign\?device$/);
      await page.getByRole("button", { name: /^Sign as/ }).click();
      await page.locator("li[data-state=waiting]").waitFor();
    }
    network.mend();
    // Whichever comes first is signed; the other one finds that out.
    for (const page of [one, two]) {
      await page.getByRole("button", { name: "Send now" }).click().catch(() => {}); // it may have gone by itself
      await page.locator("li[data-state=waiting]").waitFor({ state: "detached" });
    }
    const clashes = await Promise.all([one, two].map((page) => page.locator("li[data-state=conflict]").count()));
    assert.deepEqual([...clashes].sort(), [0, 1], "not exactly one of the two is told");
    const [late, first] = clashes[0] === 1 ? [one, "left"] : [two, "right"];
    await shot(late, "offline-conflict");
    await late.getByRole("link", { name: "Compare the two" }).click();
    await late.getByRole("heading", { name: "Two versions of one exam" }).waitFor();
    assert.equal(await late.locator(".versions-table tbody tr").count(), 2);
    await axe(late, "compare");
    await fits(late, "compare");
    await shot(late, "compare");
    const signed = JSON.parse((await get(late, `/exam/${exam}/signed.json`)).text);
    const mine = first === "right" ? "left" : "right";
    assert.equal(signed[first].look.nails, "abnormal");
    assert.equal(signed[mine].look.nails, "normal");
    // The device holds its own until a person takes it off.
    assert.ok((await entries(late)).entries.some((/** @type {{kind: string}} */ e) => e.kind === "signed"));
    await late.getByRole("button", { name: "Amend the signed exam" }).click();
    await late.waitForURL(/device$/); // signed here and undecided: the list comes first
    await late.getByRole("button", { name: "Both are kept" }).click();
    await late.getByText("Nothing waits to be sent.").waitFor();
    await late.goto(`/exam/${exam}/edit`);
    assert.ok(await late.locator(`input[name="${mine}.look.nails"][value="abnormal"]`).isChecked());
    await one.context().close();
    await two.context().close();
  });

  it("keeps both exams where two devices signed for one person at once", async () => {
    const person = somebody();
    const pages = [await device(), await device()];
    const exams = [];
    for (const page of pages) {
      await signIn(page, program);
      // Another draft of the person is open by then: a new one is still begun.
      await page.goto(person);
      const form = page.locator(`form[action="${person}/exam"]`).first();
      if ((await form.count()) > 0) await form.locator("button").click();
      else await page.evaluate((p) => {
        const made = document.createElement("form");
        made.method = "post";
        made.action = `${p}/exam`;
        document.body.append(made);
        made.submit();
      }, person);
      await page.waitForURL(/edit$/);
      exams.push(page.url().split("/").at(-2) ?? "");
      await ready(page);
      await recordAll(page);
      await kept(page);
    }
    assert.notEqual(exams[0], exams[1]);
    network.cut();
    for (const page of pages) {
      await page.getByRole("button", { name: "Review and sign" }).click();
      await page.waitForURL(/sign\?device$/);
      await page.getByRole("button", { name: /^Sign as/ }).click();
      await page.locator("li[data-state=waiting]").waitFor();
    }
    network.mend();
    for (const page of pages) {
      await page.getByRole("button", { name: "Send now" }).click({ timeout: 3000 }).catch(() => {}); // it may have gone by itself
    }
    for (const page of pages) await page.getByText("Nothing waits to be sent.").waitFor();
    const page = /** @type {Page} */ (pages[0]);
    await page.goto(person);
    for (const exam of exams) assert.ok((await page.locator(`a[href^="/exam/${exam}"]`).count()) > 0, `exam ${exam} is not on the person's page`);
    for (const p of pages) await p.context().close();
  });

  it("signs through the queue with the network too", async () => {
    const page = await device();
    await signIn(page, program);
    const exam = await start(page);
    await recordAll(page);
    await kept(page);
    await page.getByRole("button", { name: "Review and sign" }).click();
    await page.waitForURL(/sign$/);
    await ready(page);
    await page.waitForTimeout(500);
    // More than the browser itself tries again.
    network.lose(Infinity, (a) => a.path === `/exam/${exam}/signed`);
    await page.getByRole("button", { name: /^Sign as/ }).click();
    await page.waitForURL(/device$/);
    network.lose(0, () => false);
    await page.goto("/");
    await page.locator(".waiting").waitFor({ state: "hidden", timeout: 20_000 });
    const signed = await get(page, `/exam/${exam}/signed.json`);
    assert.equal(signed.status, 200);
    await page.context().close();
  });

  it("stays on the page where the device cannot sign by itself", async () => {
    const page = await device();
    await page.addInitScript(() => Reflect.deleteProperty(globalThis, "WebAssembly"));
    await signIn(page, program);
    await start(page);
    await held(page, "case");
    await recordAll(page);
    await kept(page);
    network.cut();
    await answer(page, "right.look.nails", "abnormal");
    await page.locator("#kept", { hasText: "No connection" }).waitFor();
    await page.getByRole("button", { name: "Review and sign" }).click();
    await page.locator("#kept", { hasText: "sign once the practice is in reach" }).waitFor();
    assert.match(page.url(), /edit$/);
    network.mend();
    await page.getByRole("button", { name: "Review and sign" }).click();
    await page.waitForURL(/sign$/);
    await page.getByRole("button", { name: /^Sign as/ }).click();
    await page.locator(".lead", { hasText: "Signed by" }).waitFor();
    await page.context().close();
  });

  it("keeps a draft through a dead battery", async () => {
    const folder = await mkdtemp(join(tmpdir(), "tengram-device-"));
    const open = () =>
      chromium.launchPersistentContext(folder, {
        executablePath: process.env.TENGRAM_CHROMIUM || "/usr/bin/chromium",
        args: ["--no-sandbox", "--disable-gpu"],
        baseURL: network.url,
        viewport: { width: 820, height: 1180 },
      });
    try {
      const context = await open();
      const page = await context.newPage();
      await signIn(page, program);
      const exam = await start(page);
      await ready(page);
      await held(page, "case");
      network.cut();
      await answer(page, "ask.numbness", "yes");
      await page.locator("#kept", { hasText: "No connection" }).waitFor();
      await answer(page, "ask.claudication", "no");
      await page.waitForTimeout(31_000); // this browser writes a cookie, and so half of the key, to the disk within 30 seconds
      const cdp = await context.newCDPSession(page);
      const gone = new Promise((resolve) => context.once("close", resolve));
      cdp.send("Browser.crash").catch(() => {}); // as if the power went
      await gone;

      const later = await open();
      const again = await later.newPage();
      await again.goto(`/exam/${exam}/edit`);
      await again.locator("form#exam").waitFor();
      assert.ok(await again.locator('input[name="ask.numbness"][value="yes"]').isChecked());
      assert.ok(await again.locator('input[name="ask.claudication"][value="no"]').isChecked(), "the last touch before the crash is lost");
      await later.close();
    } finally {
      network.mend();
      await rm(folder, { recursive: true, force: true });
    }
  });

  it("leaves nothing readable behind on signing out", async () => {
    const folder = await mkdtemp(join(tmpdir(), "tengram-device-"));
    try {
      const context = await chromium.launchPersistentContext(folder, {
        executablePath: process.env.TENGRAM_CHROMIUM || "/usr/bin/chromium",
        args: ["--no-sandbox", "--disable-gpu"],
        baseURL: network.url,
        viewport: { width: 820, height: 1180 },
      });
      const page = await context.newPage();
      await signIn(page, program);
      const person = somebody();
      const exam = await start(page, person);
      await ready(page);
      const name = String(await page.locator(".exam-head .crumb a").textContent());
      assert.ok(name.length > 5 && name.includes(" "), "no name to look for");
      await page.locator('textarea[name="note"]').evaluate((area, text) => {
        const field = /** @type {HTMLTextAreaElement} */ (area);
        field.value = text;
        field.dispatchEvent(new Event("input", { bubbles: true }));
      }, finding);
      await kept(page);
      await held(page, "draft");
      await held(page, "case");
      const before = await entries(page);
      assert.equal(before.keys, 1, "the key is not held while somebody is signed in");
      assert.ok((await page.evaluate(() => document.cookie)).includes("tengram-device="));

      await page.locator('form[action="/sign-out"] button').click();
      await page.waitForURL(/sign-in/);
      const after = await entries(page);
      assert.equal(after.keys, 0, "the key is still there");
      assert.ok(after.entries.length >= 2, "the draft is gone");
      assert.equal(await page.evaluate(() => document.cookie), "");
      const words = [...name.split(" "), finding].filter((w) => w.length > 3);
      const told = await page.evaluate(readable);
      for (const word of words) assert.ok(!told.includes(word), `"${word}" can be read in the browser's storage`);
      assert.ok(told.includes("/exam/shell"), "the search reads nothing");

      // The key does not come back by itself, and the page does not open.
      await page.goto(`/exam/${exam}/edit?device`);
      await page.getByRole("heading", { name: "Nobody is signed in on this device" }).waitFor();
      assert.ok(!(await page.content()).includes(name));
      await context.close();

      // Nor in the browser's own files.
      for (const file of await filesIn(folder)) {
        const content = await readFile(file);
        for (const word of [name, finding]) {
          const there = content.includes(word) || content.includes(Buffer.from(word, "utf16le"));
          assert.ok(!there, `"${word}" stands in ${file.slice(folder.length)}`);
        }
      }

      // Signed in again, the same account opens what was kept.
      const later = await chromium.launchPersistentContext(folder, {
        executablePath: process.env.TENGRAM_CHROMIUM || "/usr/bin/chromium",
        args: ["--no-sandbox", "--disable-gpu"],
        baseURL: network.url,
      });
      const again = await later.newPage();
      await signIn(again, program);
      await again.goto(`/exam/${exam}/edit?device`);
      assert.equal(await again.locator('textarea[name="note"]').inputValue(), finding);
      await later.close();
    } finally {
      await rm(folder, { recursive: true, force: true });
    }
  });

  it("locks itself when the browser forgets the cookie, and tells other pages", async () => {
    const page = await device();
    await signIn(page, program);
    const exam = await start(page);
    await ready(page);
    await answer(page, "ask.numbness", "yes");
    await kept(page);
    const second = await page.context().newPage();
    await second.goto("/device");
    await second.locator("li[data-exam]").waitFor();
    // This is what the browser does once nobody touched the device for long.
    await page.context().clearCookies({ name: "tengram-device" });
    network.cut();
    await page.waitForURL(/sign-in|device/, { timeout: 15_000 });
    await second.waitForURL(/sign-in|device/, { timeout: 15_000 });
    await page.goto(`/exam/${exam}/edit`);
    await page.getByRole("heading", { name: "Nobody is signed in on this device" }).waitFor();
    const found = await entries(page);
    assert.equal(found.keys, 0);
    // The session ends at the practice, too: going back to it shows nothing.
    network.mend();
    await second.goto(`/exam/${exam}/edit`);
    await second.waitForURL(/sign-in/);
    await page.context().close();
  });

  it("says so where an exam is open on two pages of one browser", async () => {
    const page = await device();
    await signIn(page, program);
    const exam = await start(page);
    await held(page, "case");
    const second = await page.context().newPage();
    await second.goto(`/exam/${exam}/edit`);
    await second.getByText("This exam is open on another page of this browser too.").waitFor();
    assert.equal(await page.getByText("This exam is open on another page").count(), 0);
    await page.context().close();
  });

  it("signs out without the network, and the practice hears of it first", async () => {
    const page = await device();
    await signIn(page, program);
    await page.goto("/device");
    await page.goto("/");
    await page.waitForFunction(() => navigator.serviceWorker.controller !== null);
    network.cut();
    await page.locator('form[action="/sign-out"] button').click();
    await page.getByRole("heading", { name: "On this device" }).waitFor();
    network.mend();
    await page.goto("/due");
    await page.waitForURL(/sign-in/);
    await page.context().close();
  });

  it("does not show one account what another kept", async () => {
    const page = await device();
    await signIn(page, program);
    await start(page);
    await ready(page);
    await answer(page, "ask.numbness", "yes");
    await kept(page);
    await held(page, "draft");
    // Another key, as another account would have it.
    await page.evaluate(async () => {
      const db = await new Promise((resolve) => {
        const open = indexedDB.open("tengram");
        open.onsuccess = () => resolve(open.result);
      });
      const tx = /** @type {IDBDatabase} */ (db).transaction("entries", "readwrite");
      const store = tx.objectStore("entries");
      const all = store.getAll();
      await new Promise((resolve) => {
        all.onsuccess = () => {
          for (const entry of all.result) store.put({ ...entry, key: "somebody else" });
          tx.oncomplete = () => resolve(undefined);
        };
      });
      /** @type {IDBDatabase} */ (db).close();
    });
    await page.goto("/device");
    await page.getByText("0 signed exams and 1 draft of somebody else are kept here, locked.").waitFor();
    assert.equal(await page.locator("li[data-exam]").count(), 0);
    await page.context().close();
  });

  it("loads little before the kernel", async () => {
    const page = await device();
    await signIn(page, program);
    const sizes = await page.evaluate(async () => {
      const names = await (await fetch("/static/manifest.json")).json();
      /** @type {Record<string, number>} */
      const found = {};
      for (const name of ["app.js", "app.css"]) found[name] = (await (await fetch(`/static/${names[name]}`)).arrayBuffer()).byteLength;
      return found;
    });
    const sum = Object.values(sizes).reduce((a, b) => a + b, 0);
    console.log(`first load: ${JSON.stringify(sizes)}, ${sum} bytes`);
    assert.ok(sum < 300_000, `${sum} bytes of scripts and styles on the first load`);
    await page.context().close();
  });
});

/** Every text that can be read in the storage of the page's origin: runs in the
 *  browser. @returns {Promise<string>} */
async function readable() {
  /** @type {string[]} */
  const texts = [JSON.stringify({ ...localStorage }), JSON.stringify({ ...sessionStorage }), document.cookie];
  const bytes = (/** @type {ArrayBuffer} */ b) => {
    texts.push(new TextDecoder("utf-8").decode(b), new TextDecoder("utf-16le").decode(b.slice(0, b.byteLength - (b.byteLength % 2))));
  };
  for (const name of await caches.keys()) {
    const cache = await caches.open(name);
    for (const request of await cache.keys()) {
      texts.push(request.url);
      const answer = await cache.match(request);
      if (answer && !request.url.endsWith(".gz")) texts.push(await answer.text());
    }
  }
  const walk = (/** @type {unknown} */ value) => {
    if (value instanceof ArrayBuffer) bytes(value);
    else if (ArrayBuffer.isView(value)) bytes(/** @type {ArrayBuffer} */ (value.buffer));
    else if (value instanceof CryptoKey) texts.push(`a key that can${value.extractable ? "" : " not"} be read`);
    else if (value && typeof value === "object") Object.values(value).forEach(walk);
    else texts.push(String(value));
  };
  for (const { name } of await indexedDB.databases()) {
    const db = await new Promise((resolve) => {
      const open = indexedDB.open(String(name));
      open.onsuccess = () => resolve(open.result);
    });
    for (const store of Array.from(/** @type {IDBDatabase} */ (db).objectStoreNames)) {
      const got = await new Promise((resolve) => {
        const get = /** @type {IDBDatabase} */ (db).transaction(store).objectStore(store).getAll();
        get.onsuccess = () => resolve(get.result);
      });
      walk(got);
    }
    /** @type {IDBDatabase} */ (db).close();
  }
  return texts.join("\n");
}

/** @param {string} folder @returns {Promise<string[]>} */
async function filesIn(folder) {
  const found = await readdir(folder, { recursive: true, withFileTypes: true });
  return found.filter((f) => f.isFile()).map((f) => join(f.parentPath, f.name));
}
