// The measure page on the demo clinic: what it says, where its numbers lead, how
// it looks on each screen and on paper, and what leaves from it.
import assert from "node:assert/strict";
import { mkdir } from "node:fs/promises";
import { dirname, join } from "node:path";
import { fileURLToPath } from "node:url";
import { after, before, describe, it } from "node:test";
import { axe, inBoth, fits, openBrowser, openPage, quiet, screens, shot, signIn, startProgram } from "./harness.mjs";

const pictures = join(dirname(dirname(fileURLToPath(import.meta.url))), "build", "screenshots");

describe("the measure page", () => {
  /** @type {import("playwright-core").Browser} */
  let browser;
  /** @type {import("./harness.mjs").Program} */
  let program;

  before(async () => {
    program = await startProgram({ args: ["--today", "2026-11-24"] });
    browser = await openBrowser();
  });

  after(async () => {
    await browser?.close();
    await program?.stop();
  });

  /** @param {Parameters<typeof openPage>[2]} [options] */
  const open = async (options, path = "/measure") => {
    const page = await openPage(browser, program.url, options);
    await signIn(page, program);
    await page.goto(path);
    await page.locator("#year-end").waitFor(); // on a slow machine the page looks again by itself
    return page;
  };

  it("says where the year will end, from which seed, and on what it rests", async () => {
    const page = await open();
    assert.match(String(await page.locator("#year-end").textContent()), /^\d\d\.\d %$/);
    const year = page.getByRole("region", { name: "Where the year will end" });
    await year.getByText("times from seed 2026").waitFor();
    await year.getByText("What this rests on").click();
    await year.getByText("People come").waitFor();
    for (const name of [/^Forecast: /, /^Run chart: /, /^Control chart: /, /^Funnel: .* by clinicians/, /^Funnel: .* by sites/]) {
      assert.equal(await page.getByRole("img", { name }).count(), 1, String(name));
    }
    const ids = await page.locator("[id]").evaluateAll((all) => all.map((e) => e.id));
    assert.equal(new Set(ids).size, ids.length, "an id stands twice");
    quiet(page);
  });

  it("says how long an exam takes, block by block, and which exams that leaves out", async () => {
    const page = await open();
    await page.getByRole("link", { name: "How long an exam takes" }).click();
    const times = page.getByRole("region", { name: "How long an exam takes" });
    await times.getByText(/^Half of \d+ whole exams took \d+\smin(\s\d+\ss)? or less\.$/).waitFor();
    const rows = await times.locator("tbody tr").evaluateAll((all) => all.map((row) => Array.from(row.children, (cell) => String(cell.textContent))));
    assert.deepEqual(rows.map((row) => row[0]), ["Whole exam", "Ask", "Look", "Feel", "Test", "Teach"]);
    for (const [block, median, middle] of rows) {
      assert.match(String(median), /^(\d+\smin\s)?\d+\ss$|^\d+\smin$/, block);
      assert.match(String(middle), / to /, block);
    }
    // Every exam is somewhere: with times, without, or amended; whole, or in part.
    const lines = await times.locator(".times-counts li").allTextContents();
    /** @param {RegExp} line */
    const number = (line) => Number(lines.map((l) => line.exec(l)?.[1]).find(Boolean)?.replace(",", ""));
    const timed = number(/signed; ([\d,]+) with times/);
    assert.equal(number(/^([\d,]+) exams signed/), timed + number(/^([\d,]+) without times/) + number(/^([\d,]+) amended/));
    assert.equal(timed, Number(rows[0]?.[3]) + number(/^([\d,]+) did not reach every block/));
    await mkdir(pictures, { recursive: true });
    for (const screen of /** @type {const} */ (["tablet", "phone"])) {
      await page.setViewportSize(screens[screen]);
      await times.screenshot({ path: join(pictures, `measure-times-${screen}.png`) });
    }
    quiet(page);
  });

  it("keeps a target and says how surely it is reached", async () => {
    const page = await open();
    await page.getByLabel("Target of the practice, %").fill("70");
    await page.getByRole("button", { name: "Keep the target" }).click();
    await page.getByText(/The target of 70 % is reached in \d+ of 100\./).waitFor();
    assert.equal(await page.getByLabel("Target of the practice, %").inputValue(), "70");
    quiet(page);
  });

  it("opens each number of a group to as many people", async () => {
    const page = await open();
    const links = page.locator(".group-table td a");
    assert.ok((await links.count()) > 10, "there are few numbers to open");
    const ways = await links.evaluateAll((all) => all.map((a) => [a.getAttribute("href") ?? "", a.textContent ?? ""]));
    for (const [href, number] of ways) {
      await page.goto(String(href));
      const says = await page.locator("#people > .quiet").first().textContent();
      assert.match(String(says).replace(/\s+/g, " "), new RegExp(`(^|\\D)${number} (person|people)`), String(href));
    }
    quiet(page);
  });

  it("lists who closes it cheapest, and leads to the person", async () => {
    const page = await open();
    const closest = page.getByRole("region", { name: "Closest to closing" });
    await closest.getByRole("link", { name: /^All \d+ people$/ }).click();
    await page.getByRole("heading", { name: "People: closest to closing" }).waitFor();
    const first = page.locator("#people .cell-who a").first();
    const name = String(await first.textContent());
    await first.click();
    await page.getByRole("heading", { level: 1 }).filter({ hasText: String(name.split(",")[0]) }).waitFor();
    quiet(page);
  });

  it("hands out reports, without names unless they are asked for", async () => {
    const page = await open();
    /** @param {string | RegExp} name */
    const take = async (name) => {
      const [download] = await Promise.all([page.waitForEvent("download"), page.getByRole("link", { name }).click()]);
      const chunks = [];
      for await (const chunk of await download.createReadStream()) chunks.push(chunk);
      return { name: download.suggestedFilename(), body: Buffer.concat(chunks) };
    };
    const somebody = String(await page.locator("#people .cell-who a").first().textContent()).split(",")[0] ?? "";
    const board = await take(/^One page for a board/);
    assert.equal(board.name, "foot-exam-2026.pdf");
    assert.equal(board.body.subarray(0, 5).toString(), "%PDF-");
    const summary = JSON.parse((await take(/^FHIR MeasureReport/)).body.toString());
    assert.equal(summary.resourceType, "MeasureReport");
    assert.equal(summary.type, "summary");
    const table = (await take(/^One line a person/)).body.toString();
    assert.match(table, /^person,measure,/);
    assert.ok(!table.includes(somebody), "a name left without being asked for");
    const named = (await take("The same with names")).body.toString();
    assert.match(named, /^person,family,given,measure,/);
    assert.ok(named.includes(somebody), "the names are missing");
    quiet(page);
  });

  it("serves every measure and year without a fault", async () => {
    const page = await open();
    const measures = await page.locator("select[name=measure] option").evaluateAll((all) => all.map((o) => o.getAttribute("value")));
    assert.ok(measures.length > 5);
    // Of a new measure or year the whole panel is evaluated first.
    for (const query of [...measures.map((m) => `measure=${m}`), "year=2025", "year=2027", "measure=recall-kept&year=2025"]) {
      const answer = await page.goto(`/measure?${query}`);
      assert.equal(answer?.status(), 200, query);
    }
    quiet(page);
  });

  for (const screen of /** @type {(keyof typeof screens)[]} */ (["tablet", "phone", "laptop"])) {
    it(`has no accessibility fault on a ${screen}, light or dark`, async () => {
      for (const scheme of /** @type {const} */ (["light", "dark"])) await shot(await open({ screen, scheme }), `measure-${screen}-${scheme}`);
      // Few people, so that not each of fifty is gone through again.
      const page = await open({ screen }, "/measure?who=excluded");
      await fits(page, `measure, ${screen}`);
      await page.locator("details").evaluateAll((all) => all.forEach((d) => d.setAttribute("open", "")));
      await inBoth(page, `measure-all-open-${screen}`);
      await fits(page, `measure, all open, ${screen}`);
      quiet(page);
    });
  }

  it("prints everything but what only works on a screen", async () => {
    const page = await open({ screen: "laptop" });
    await page.emulateMedia({ media: "print" });
    assert.ok(await page.locator(".assumptions li").first().isVisible(), "what it rests on is not printed");
    for (const gone of [".target", ".reports", ".filter", ".on-page"]) {
      assert.ok(await page.locator(gone).first().isHidden(), `${gone} is printed`);
    }
    // Ink and its shades only: nothing on the sheet is told by a hue.
    const hues = await page.locator("main *").evaluateAll((all) =>
      all.flatMap((e) => {
        const { color, backgroundColor } = getComputedStyle(e);
        return [color, backgroundColor].filter((c) => {
          const [r = 0, g = 0, b = 0, a = 1] = (c.match(/[\d.]+/g) ?? []).map(Number);
          return a > 0 && Math.max(r, g, b) - Math.min(r, g, b) > 8;
        });
      }),
    );
    assert.deepEqual([...new Set(hues)], []);
    quiet(page);
  });

  it("prints a few sheets for a huddle, and a list of people on its own", async () => {
    const page = await open({ screen: "laptop" });
    await mkdir(pictures, { recursive: true });
    const print = async (/** @type {string} */ name) => {
      const pdf = await page.pdf({ path: join(pictures, `${name}.pdf`), format: "Letter" });
      return (pdf.toString("latin1").match(/\/Type\s*\/Page\b(?!s)/g) ?? []).length;
    };
    const sheets = await print("measure-print");
    assert.ok(sheets <= 4, `the measure takes ${sheets} sheets`);
    await page.emulateMedia({ media: "print" });
    for (const id of ["year", "months", "closest", "groups"]) assert.ok(await page.locator(`#${id}`).isVisible(), `${id} is not printed`);
    assert.ok(await page.locator("#people").isHidden(), "a list that nobody asked for is printed");
    await page.emulateMedia({ media: null });

    await page.getByRole("link", { name: "This list alone, to print" }).click();
    await page.getByRole("button", { name: "Print this list" }).waitFor();
    const list = await print("measure-people-print");
    assert.ok(list <= 4, `a page of the list takes ${list} sheets`);
    await page.emulateMedia({ media: "print" });
    assert.equal(await page.locator("#people .cell-who:visible").count(), 50);
    assert.ok(await page.locator("#year").isHidden());
    quiet(page);
  });

  it("says each chart once to who listens, and each number in its table", async () => {
    const page = await open();
    const figures = page.getByRole("figure");
    assert.ok((await figures.count()) >= 5);
    for (const figure of await figures.all()) {
      const picture = figure.getByRole("img");
      const name = String(await picture.locator("> title").textContent());
      assert.equal(await page.getByRole("img", { name, exact: true }).count(), 1, `not called by its title alone: ${name}`);
      assert.equal(await picture.locator("> desc").count(), 0, `the caption is said twice: ${name}`);
      assert.ok(String(await figure.locator("figcaption").textContent()).length > 20, name);
      const fold = figure.locator("details.chart-table");
      assert.equal((await fold.locator("summary").innerText()).replace(/\s+:/, ":"), `The numbers: ${name}`);
      await fold.locator("summary").click();
      assert.ok((await figure.getByRole("row").count()) > 1, `no numbers: ${name}`);
    }
    quiet(page);
  });
});
