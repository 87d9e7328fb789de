// Measuring on a photo: the geometry against known figures and against the
// kernel, the tracing as a whole, and the dialog in a browser on a picture whose
// wound and ruler are known.
import assert from "node:assert/strict";
import { after, before, describe, it } from "node:test";
import { axe, fits, openBrowser, openPage, quiet, shot, signIn, startProgram } from "./harness.mjs";
import { example, loadKernel, source } from "./source.mjs";

/** @typedef {{x: number, y: number}} Point */

const { measure, crossesItself, simplify, fitted, scale, distinct } = await source("trace/geometry");
const { Tracing } = await source("trace/tracing");

/** @param {number[]} xy @returns {Point[]} */
const points = (...xy) => xy.flatMap((x, i) => (i % 2 === 0 ? [{ x, y: xy[i + 1] ?? 0 }] : []));

/** @param {number} rx @param {number} ry @param {number} n @returns {Point[]} */
const ellipse = (rx, ry, n, cx = 0, cy = 0) =>
  Array.from({ length: n }, (_, i) => ({ x: cx + rx * Math.cos((2 * Math.PI * i) / n), y: cy + ry * Math.sin((2 * Math.PI * i) / n) }));

/** A random star: corners in order of angle, so it cannot cross itself.
 * @param {() => number} chance @returns {Point[]} */
const star = (chance) => {
  const n = 3 + Math.floor(chance() * 40);
  return Array.from({ length: n }, (_, i) => {
    const r = 20 + 200 * chance();
    const angle = (2 * Math.PI * (i + 0.8 * chance())) / n;
    return { x: 300 + r * Math.cos(angle), y: 300 + r * Math.sin(angle) };
  });
};

/** Chance from a seed, so that a failure can be seen again. @param {number} seed */
const chanceFrom = (seed) => () => {
  seed = (seed * 1664525 + 1013904223) >>> 0;
  return seed / 2 ** 32;
};

describe("the geometry of an outline", () => {
  for (const [name, outline, units, mm2] of /** @type {[string, Point[], number, number][]} */ ([
    ["a square", points(0, 0, 4, 0, 4, 3, 0, 3), 1, 12],
    ["the other way round", points(0, 3, 4, 3, 4, 0, 0, 0), 1, 12],
    ["closed by hand", points(0, 0, 4, 0, 0, 3, 0, 0), 1, 6],
    ["a corner marked twice", points(0, 0, 4, 0, 4, 0, 0, 3), 1, 6],
    ["a picture of ten points a millimetre", points(0, 0, 40, 0, 40, 30, 0, 30), 10, 12],
    ["far from the corner of the picture", points(1e6, 1e6, 1e6 + 4, 1e6, 1e6, 1e6 + 3), 1, 6],
  ])) {
    it(`measures ${name}`, () => assert.ok(Math.abs(measure(outline, units).mm2 - mm2) < 1e-9));
  }

  it("comes within a thousandth of an ellipse of 120 corners", () => {
    const { mm2 } = measure(ellipse(60, 40, 120), 4);
    assert.ok(Math.abs(mm2 / ((Math.PI * 60 * 40) / 16) - 1) < 1e-3, `${mm2}`);
  });

  for (const [name, outline] of /** @type {[string, Point[]][]} */ ([
    ["a figure of eight", points(0, 0, 4, 4, 4, 0, 0, 4)],
    ["a corner that touches an edge", points(0, 0, 4, 0, 2, 2, 4, 4, 0, 4, 2, 2)],
    ["a spike out and back", points(0, 0, 4, 0, 8, 0, 4, 0, 0, 3)],
    ["three corners on one line", points(0, 0, 2, 0, 4, 0)],
  ])) {
    it(`refuses ${name}, in words`, () => {
      assert.ok(crossesItself(distinct(outline)));
      assert.match(measure(outline, 1).problem, /crosses or touches itself/);
    });
  }

  it("says what is missing", () => {
    assert.match(measure(ellipse(5, 5, 8), 0).problem, /scale/i);
    assert.match(measure(points(0, 0, 1, 1), 1).problem, /3 different corners/);
    assert.match(measure(ellipse(9000, 9000, 30), 1).problem, /more than a foot has/);
  });

  it("finds the scale between two marks", () => {
    assert.equal(scale({ x: 0, y: 0 }, { x: 30, y: 40 }, 10), 5);
    assert.equal(scale({ x: 0, y: 0 }, { x: 30, y: 40 }, 0), 0);
  });

  it("simplifies without moving the area by a hundredth, and fits what a document takes", () => {
    const fine = ellipse(300, 180, 1500, 500, 500);
    const few = fitted(fine);
    assert.ok(few.length <= 200 && few.length > 20, `${few.length} corners`);
    assert.ok(Math.abs(measure(few, 10).mm2 / measure(fine, 10).mm2 - 1) < 0.01);
    assert.deepEqual(simplify(points(0, 0, 1, 0.1, 2, 0, 9, 0), 0.5), points(0, 0, 9, 0));
  });
});

describe("a tracing", () => {
  it("goes from the ruler to the edge to the area", () => {
    const t = new Tracing();
    assert.match(t.mark({ x: 100, y: 10 }), /First point/);
    assert.match(t.mark({ x: 300, y: 10 }), /how far/);
    assert.equal(t.marking, "ruler");
    t.setMillimetres(20);
    assert.equal(t.unitsPerMM, 10);
    assert.equal(t.marking, "edge");
    for (const p of points(0, 0, 100, 0, 100, 50, 0, 50)) t.mark(p);
    assert.match(t.measured.problem, /open/);
    assert.equal(t.close(), "Outline closed.");
    assert.equal(t.measured.mm2, 50);
    assert.match(t.mark({ x: 1, y: 1 }), /is closed/);
    assert.match(t.undo(), /open again/);
    assert.match(t.undo(), /edge/);
    assert.equal(t.outline.length, 3);
    t.remove(1);
    assert.deepEqual(t.outline, points(0, 0, 100, 50));
    assert.match(t.close(), /3 corners/);
  });

  it("closes by a line that comes back to its beginning", () => {
    const t = new Tracing();
    t.mark({ x: 0, y: 0 });
    t.mark({ x: 100, y: 0 });
    t.setMillimetres(10);
    const ring = ellipse(80, 80, 300, 200, 200);
    t.draw([...ring, { x: 279, y: 201 }], 10);
    assert.ok(t.closed);
    assert.ok(Math.abs(t.measured.mm2 / (Math.PI * 64) - 1) < 0.01, JSON.stringify(t.measured));
    t.undo();
    t.undo();
    assert.equal(t.outline.length, 0, "a line is taken back at once");
  });

  it("says so where the edge crosses itself, and gives no area", () => {
    const t = new Tracing();
    t.takeUp([], 1);
    for (const p of points(0, 0, 40, 40, 40, 0, 0, 40)) t.mark(p);
    assert.match(t.close(), /crosses or touches itself/);
    assert.match(t.measured.problem, /crosses/);
  });
});

describe("the kernel", () => {
  it("says of any outline what the page said of it", async () => {
    const kernel = await loadKernel();
    const exam = await example("16-ulcer-clean");
    const chance = chanceFrom(7);
    const cases = Array.from({ length: 60 }, () => ({ outline: fitted(star(chance)), units: Math.round((1 + 9 * chance()) * 100) / 100 }));
    cases.push({ outline: points(0, 0, 40, 40, 40, 0, 0, 40), units: 1 }, { outline: points(0, 0, 2, 0), units: 1 });
    for (const { outline, units } of cases) {
      exam.ulcers[0].size = { method: "traced", outline, "units-per-mm": units };
      const { assessment } = JSON.parse(kernel.assess(JSON.stringify({ exam, background: {}, edition: "us-2024", on: "2026-04-06" })));
      const said = assessment.ulcers[0]["area-mm2"];
      const here = measure(outline, units);
      if ("problem" in here) assert.notEqual(typeof said, "number", `the kernel measured what the page refused: ${said}`);
      else assert.equal(said, Math.round(here.mm2), `${outline.length} corners`);
    }
  });
});

describe("measuring on a photo", () => {
  /** @type {import("./harness.mjs").Program} */
  let program;
  /** @type {import("playwright-core").Browser} */
  let browser;

  before(async () => {
    program = await startProgram();
    browser = await openBrowser();
  });
  after(async () => {
    await browser?.close();
    await program?.stop();
  });

  /** The picture: 10 points a millimetre, a ruler whose marks lie 40 mm apart,
   *  and a wound of 24 by 15 mm. */
  const picture = { width: 900, height: 700, units: 10, ruler: points(150, 620, 550, 620), wound: { cx: 450, cy: 280, rx: 120, ry: 75 } };
  const trueArea = (Math.PI * picture.wound.rx * picture.wound.ry) / picture.units ** 2;

  /** @param {import("playwright-core").Page} page @returns {Promise<Buffer>} */
  async function photo(page) {
    const url = await page.evaluate((p) => {
      const canvas = document.createElement("canvas");
      canvas.width = p.width;
      canvas.height = p.height;
      const c = /** @type {CanvasRenderingContext2D} */ (canvas.getContext("2d"));
      c.fillStyle = "#d8b59a";
      c.fillRect(0, 0, p.width, p.height);
      c.fillStyle = "#8c2f2b";
      c.beginPath();
      c.ellipse(p.wound.cx, p.wound.cy, p.wound.rx, p.wound.ry, 0, 0, 7);
      c.fill();
      c.fillStyle = "#f4f0e4";
      c.fillRect(100, 600, 700, 60);
      c.fillStyle = "#000";
      for (let mm = 0; mm <= 60; mm += 5) c.fillRect(150 + mm * p.units, 600, 2, mm % 10 === 0 ? 30 : 15);
      return canvas.toDataURL("image/png");
    }, picture);
    return Buffer.from(url.split(",")[1] ?? "", "base64");
  }

  /** Opens an exam with a card for an ulcer, and the dialog on it.
   * @param {import("playwright-core").Page} page @param {number} nth */
  async function openDialog(page, nth) {
    await signIn(page, program);
    const made = await photo(page);
    await page.goto("/due");
    const links = await page.locator("tbody th a").evaluateAll((all) => all.map((a) => a.getAttribute("href") ?? ""));
    await page.goto(String(links[nth]));
    await page.getByRole("button", { name: "Start the foot exam" }).click();
    await page.waitForURL(/edit$/);
    const card = page.locator("details.ulcer").first();
    await card.locator("> summary").click();
    await card.getByRole("button", { name: "Measure on a photo" }).click();
    await page.locator("dialog.trace[open]").waitFor();
    await page.locator('dialog.trace input[type="file"]').last().setInputFiles({ name: "foot.png", mimeType: "image/png", buffer: made });
    await page.locator("#trace-work").waitFor();
    return card;
  }

  /** Where a point of the picture lies on the screen. @param {import("playwright-core").Page} page @param {Point} p */
  async function onScreen(page, p) {
    const box = await page.locator(".trace-inner").boundingBox();
    assert.ok(box);
    return { x: box.x + (p.x / picture.width) * box.width, y: box.y + (p.y / picture.height) * box.height };
  }

  /** The exam's size of its first ulcer, as the page would send it. @param {import("playwright-core").Page} page */
  const sent = (page) =>
    page.waitForRequest((r) => r.url().endsWith("/draft") && (r.postData() ?? "").includes("outline")).then((r) => JSON.parse(r.postData() ?? "{}").ulcers[0].size);

  for (const screen of /** @type {const} */ (["tablet", "phone"])) {
    it(`traces with the finger or the mouse on a ${screen}, within three per cent`, async () => {
      const page = await openPage(browser, program.url, { screen });
      const card = await openDialog(page, screen === "tablet" ? 3 : 4);
      assert.ok(await page.locator("#trace-use").isDisabled());
      for (const p of picture.ruler) {
        const at = await onScreen(page, p);
        await page.mouse.click(at.x, at.y);
      }
      await page.locator("#trace-mm").fill("40");
      assert.ok(await page.locator('input[name="-trace"][value="edge"]').isChecked(), "the edge does not come after the ruler");
      const ring = [];
      for (const p of ellipse(picture.wound.rx, picture.wound.ry, 72, picture.wound.cx, picture.wound.cy)) ring.push(await onScreen(page, p));
      const first = /** @type {Point} */ (ring[0]);
      await page.mouse.move(first.x, first.y);
      await page.mouse.down();
      for (const p of [...ring, first]) await page.mouse.move(p.x, p.y);
      await page.mouse.up();
      await page.locator("#trace-use:enabled").waitFor();
      await axe(page, "trace");
      await fits(page, "trace");
      await shot(page, `trace-${screen}`);
      const [size] = await Promise.all([sent(page), page.locator("#trace-use").click()]);
      assert.equal(size.method, "traced");
      const { mm2 } = measure(size.outline, size["units-per-mm"]);
      assert.ok(Math.abs(mm2 / trueArea - 1) < 0.03, `${mm2} mm², not ${trueArea}`);
      await card.getByText(/^Traced: \d+ mm²/).waitFor();
      // Nothing of the photo is left on the page or was sent.
      assert.equal(await page.locator("dialog.trace").count(), 0);
      await page.locator("#kept", { hasText: /^Draft kept \d/ }).waitFor();
      await page.reload();
      await page.getByText(/^Traced: \d+ mm²/).first().waitFor({ state: "attached" });
      quiet(page);
    });
  }

  it("is worked with the keyboard alone", async () => {
    const page = await openPage(browser, program.url, { screen: "laptop" });
    await openDialog(page, 5);
    const stage = page.locator("#trace-stage");
    await stage.focus();
    const perPixel = picture.width / ((await page.locator(".trace-inner").boundingBox())?.width ?? 1);
    /** @param {Point} from @param {Point} to */
    const go = async (from, to) => {
      for (const [d, less, more] of /** @type {[number, string, string][]} */ ([[to.x - from.x, "ArrowLeft", "ArrowRight"], [to.y - from.y, "ArrowUp", "ArrowDown"]])) {
        const steps = Math.round(Math.abs(d) / perPixel / 2);
        for (let i = 0; i < Math.floor(steps / 10); i++) await page.keyboard.press(`Shift+${d < 0 ? less : more}`);
        for (let i = 0; i < steps % 10; i++) await page.keyboard.press(d < 0 ? less : more);
      }
      await page.keyboard.press("Enter");
    };
    let at = { x: picture.width / 2, y: picture.height / 2 };
    for (const p of picture.ruler) {
      await go(at, p);
      at = p;
    }
    await page.locator("#trace-mm").fill("40");
    await stage.focus();
    for (const p of ellipse(picture.wound.rx, picture.wound.ry, 24, picture.wound.cx, picture.wound.cy)) {
      await go(at, p);
      at = p;
    }
    assert.equal(await page.locator("#trace-points summary").textContent(), "24 corners");
    await page.locator("#trace-points summary").click();
    assert.equal(await page.locator("#trace-points li").count(), 24);
    await page.keyboard.press("Tab");
    await stage.focus();
    await page.keyboard.press("Backspace");
    assert.equal(await page.locator("#trace-points summary").textContent(), "23 corners");
    await page.keyboard.press("Enter");
    await page.keyboard.press("c");
    await page.locator("#trace-use:enabled").waitFor();
    await axe(page, "trace by keyboard");
    const [size] = await Promise.all([sent(page), page.locator("#trace-use").click()]);
    const { mm2 } = measure(size.outline, size["units-per-mm"]);
    assert.ok(Math.abs(mm2 / trueArea - 1) < 0.03, `${mm2} mm², not ${trueArea}`);
    quiet(page);
  });

  it("refuses an edge that crosses itself, and keeps no photo unless asked", async () => {
    const page = await openPage(browser, program.url, { screen: "tablet" });
    const card = await openDialog(page, 6);
    const mark = async (/** @type {Point} */ p) => {
      const at = await onScreen(page, p);
      await page.mouse.click(at.x, at.y);
    };
    for (const p of picture.ruler) await mark(p);
    await page.locator("#trace-mm").fill("40");
    for (const p of points(300, 200, 600, 350, 600, 200, 300, 350)) await mark(p);
    await page.getByRole("button", { name: "Close the outline" }).click();
    await page.locator("#trace-says", { hasText: "crosses or touches itself" }).waitFor();
    assert.ok(await page.locator("#trace-use").isDisabled());
    await page.getByRole("button", { name: "Trace anew" }).click();
    for (const p of points(300, 200, 600, 200, 600, 350, 300, 350)) await mark(p);
    await page.getByRole("button", { name: "Close the outline" }).click();
    assert.equal(await page.locator("#trace-area").textContent(), "450 mm²");
    const kinds = () =>
      page.evaluate(async () => {
        const db = await new Promise((resolve) => {
          const open = indexedDB.open("tengram");
          open.onsuccess = () => resolve(open.result);
        });
        const get = /** @type {IDBDatabase} */ (db).transaction("entries").objectStore("entries").getAll();
        const all = await new Promise((resolve) => (get.onsuccess = () => resolve(get.result)));
        /** @type {IDBDatabase} */ (db).close();
        return all.filter((/** @type {{kind: string}} */ e) => e.kind === "photo").length;
      });
    await page.locator("#trace-use").click();
    await card.getByText("Traced: 450 mm², 4 corners.").waitFor();
    assert.equal(await kinds(), 0, "a photo was kept that nobody asked to keep");

    await card.getByRole("button", { name: "Measure on a photo" }).click();
    await page.locator('dialog.trace input[type="file"]').last().setInputFiles({ name: "foot.png", mimeType: "image/png", buffer: await photo(page) });
    await page.locator("#trace-keep").click();
    for (const p of picture.ruler) await mark(p);
    await page.locator("#trace-mm").fill("40");
    for (const p of points(300, 200, 600, 200, 600, 350, 300, 350)) await mark(p);
    await page.getByRole("button", { name: "Close the outline" }).click();
    await page.locator("#trace-use").click();
    await page.locator("dialog.trace").waitFor({ state: "detached" });
    await page.waitForTimeout(300);
    assert.equal(await kinds(), 1, "the photo was not kept");
    // Opened again, it is there with its outline.
    await card.getByRole("button", { name: "Measure on a photo" }).click();
    await page.locator("#trace-work").waitFor();
    await page.locator("#trace-area", { hasText: "450 mm²" }).waitFor();
    quiet(page);
  });
});
