// The printed exam: one sheet of paper for a simple and for a very complex exam,
// on A4 and on US Letter, in type that can be read and in ink alone, and nothing
// that matters is left out for it.
import assert from "node:assert/strict";
import { mkdir } from "node:fs/promises";
import { dirname, join } from "node:path";
import { after, before, describe, it } from "node:test";
import { fileURLToPath } from "node:url";
import { axe, fits, openBrowser, openPage, quiet, screens, signIn, startProgram } from "./harness.mjs";
import { example } from "./source.mjs";

/** @typedef {import("playwright-core").Page} Page */

const pictures = join(dirname(dirname(fileURLToPath(import.meta.url))), "build", "screenshots");

/** The smallest type that a reader of a chart should meet, in points: common
 *  practice, no source. Letters in the drawings are named in words beside. */
const smallestType = 8.5;

/** Amputations, two ulcers, an emergency, a finding almost everywhere, a long note. */
const complex = {
  at: "2026-11-24T12:00:00-05:00",
  protocol: "ten-sites",
  ask: {
    "ulcer-history": "yes", "amputation-history": "yes", "charcot-history": "yes", revascularised: "yes", "pad-diagnosed": "yes",
    retinopathy: "yes", "low-vision": "yes", "kidney-disease": "yes", "kidney-failure": "yes", dialysis: "yes", smoking: "current",
    "glucose-above-target": "yes", "a1c-percent": 10.4, numbness: "yes", "neuropathic-pain": "yes", claudication: "yes",
    "rest-pain": "yes", "rest-pain-new": "yes", "cannot-reach": "yes", helper: "no", "daily-check": "no", "walks-barefoot": "yes",
    "foot-specialist": "no", "venous-disease": "yes", "other-neuropathy-cause": "yes",
  },
  right: {
    loss: { level: "toes", toes: [2], rays: [1] },
    look: {
      skin: "abnormal", wound: "abnormal", gangrene: "toe", nails: "abnormal", "nail-kinds": ["thick", "fungal", "ingrown"],
      lesions: [
        { place: "mth3", kind: "callus" }, { place: "mth5", kind: "bleeding-under-callus" }, { place: "heel", kind: "fissure" },
        { place: "web4", kind: "maceration" }, { place: "dorsum", kind: "dry-skin", note: "down to the ankle" }, { place: "toe5-top", kind: "corn" },
      ],
      shape: "abnormal", deformities: ["claw-toe", "prominent-metatarsal-head", "foot-drop"], mobility: "abnormal",
      "muscle-wasting": "abnormal", redness: "yes",
    },
    feel: {
      arteries: {
        "dorsalis-pedis": "absent", "posterior-tibial": "weak", "capillary-refill": "abnormal", "posture-colour": "abnormal",
        "ankle-dp": 62, "ankle-pt": 70, waveform: "monophasic",
      },
      oedema: "abnormal", warm: "yes", swollen: "yes", "suddenly-cold": "yes",
    },
    test: {
      filament: { toe3: "abnormal", toe5: "abnormal", mth3: "abnormal", mth5: "abnormal", "midfoot-medial": "abnormal", "midfoot-lateral": "normal", heel: "normal", dorsum: "abnormal" },
      vibration: "not-possible", pinprick: "abnormal", "ankle-reflex": "absent",
    },
  },
  left: {
    loss: { level: "transmetatarsal" },
    look: {
      skin: "abnormal", wound: "abnormal", gangrene: "none", shape: "abnormal", deformities: ["equinus"], mobility: "abnormal",
      lesions: [{ place: "midfoot-lateral", kind: "callus" }, { place: "heel", kind: "red-spot" }, { place: "ankle-lateral", kind: "blister" }],
      "muscle-wasting": "abnormal", redness: "yes",
    },
    feel: {
      arteries: { "dorsalis-pedis": "weak", "posterior-tibial": "absent", "capillary-refill": "abnormal", "ankle-dp": "no-signal", "ankle-pt": 84, waveform: "monophasic" },
      oedema: "abnormal", warm: "no", swollen: "no", "suddenly-cold": "no",
    },
    test: { filament: { "midfoot-medial": "abnormal", "midfoot-lateral": "abnormal", heel: "abnormal", dorsum: "normal" }, pinprick: "abnormal", "ankle-reflex": "absent" },
  },
  arms: { right: 138, left: 142 },
  vitals: { "temperature-c": 38.6, "heart-rate": 112, "respiratory-rate": 24, unwell: "yes" },
  ulcers: [
    {
      id: "u1", side: "right", place: "mth3", since: "2026-09", size: { "length-mm": 32, "width-mm": 21, method: "ellipse" }, depth: "bone-or-joint", "probe-to-bone": "yes",
      infection: { swelling: "yes", "erythema-mm": 34, tenderness: "yes", warmth: "yes", pus: "yes", deep: "yes", bone: "yes", spreading: "yes", crepitus: "no" },
    },
    {
      id: "u2", side: "left", place: "heel", since: "2026-10-12", size: { "length-mm": 18, "width-mm": 14, method: "ellipse" }, depth: "subcutis", "probe-to-bone": "no",
      infection: { swelling: "yes", "erythema-mm": 8, tenderness: "no", warmth: "yes", pus: "no", deep: "no", bone: "no", spreading: "no", crepitus: "no" },
    },
  ],
  footwear: { suitable: "abnormal", sized: "no", "too-tight": "yes", "worn-out": "yes", "foreign-body": "yes", prescribed: "no" },
  teach: { given: "yes", "taught-back": "no", language: "Spanish" },
  note:
    "Came with his daughter, who does the dressings at home and will drive him to the hospital now. Dressing of the right foot was soaked through; there is a smell. " +
    "He has walked on it in old trainers since the shoe from the clinic broke in September, and stopped the antibiotic after four days because of his stomach. " +
    "Dialysis is on Tuesday, Thursday and Saturday, left arm fistula: no pressure taken there beyond the one recorded. Last angiogram in 2024, stent in the right " +
    "superficial femoral artery; clopidogrel and a statin are taken. Fears another amputation and said so twice; wants to be asked before anything is cut. " +
    "The foot team was called at 12:20 and expects him; copies of the last two exams and the list of medicines went with him. Call the daughter first, she answers at any time.",
};

/** How many pages a document has, as its own objects say. @param {Buffer} pdf */
const pagesOf = (pdf) => (pdf.toString("latin1").match(/\/Type\s*\/Page\b(?!s)/g) ?? []).length;

describe("the printed exam", () => {
  /** @type {import("./harness.mjs").Program} */
  let program;
  /** @type {import("playwright-core").Browser} */
  let browser;
  /** @type {Page} */
  let page;
  /** @type {string[]} */
  let people = [];

  before(async () => {
    program = await startProgram({ args: ["--today", "2026-11-24"] });
    browser = await openBrowser();
    page = await openPage(browser, program.url, { screen: "laptop" });
    await signIn(page, program);
    await page.goto("/due");
    people = await page.locator("tbody th a").evaluateAll((links) => links.map((a) => a.getAttribute("href") ?? ""));
    people = people.slice(3);
  });
  after(async () => {
    await browser?.close();
    await program?.stop();
  });

  /** Signs an exam with these answers for somebody, and opens its sheet.
   * @param {Record<string, unknown>} answers */
  async function signed(answers) {
    const draft = { ...answers };
    for (const own of ["schema", "id", "revision", "amends", "patient", "examiner", "edition"]) delete draft[own];
    const { request } = page.context(); // the pages of an exam would keep it while it is signed
    const begun = await request.post(`${program.url}${people.shift()}/exam`);
    const exam = begun.url().split("/").at(-2) ?? "";
    const kept = await request.put(`${program.url}/exam/${exam}/draft`, { data: draft });
    assert.equal(kept.status(), 204, "the draft was not kept");
    const sign = await request.post(`${program.url}/exam/${exam}/sign`, { form: {} });
    assert.equal(sign.status(), 200, "the exam was not signed");
    await page.goto(`/exam/${exam}/print`);
    return exam;
  }

  /** Asserts that the sheet is one page of either paper. @param {string} name */
  async function onePage(name) {
    for (const format of ["A4", "Letter"]) {
      await mkdir(pictures, { recursive: true });
      const pdf = await page.pdf({ path: join(pictures, `exam-${name}-${format}.pdf`), format });
      assert.equal(pagesOf(pdf), 1, `${name} on ${format}`);
    }
  }

  /** The setting that was chosen. */
  const setting = async () => String(await page.locator("main").getAttribute("class"));

  for (const [name, sheet] of /** @type {const} */ ([
    ["01-wholly-normal", "sheet-wide"],
    ["10-below-knee", "sheet-wide"],
    ["13-incomplete", "sheet-wide"],
    ["18-charcot-suspected", "sheet-wide"],
    ["17-ulcer-infected", "sheet-close"],
    ["20-ulcer-ambulance", "sheet-close"],
  ])) {
    it(`takes one page for the example ${name}`, async () => {
      await signed(await example(name));
      await onePage(name);
      assert.ok((await setting()).endsWith(sheet), `${await setting()}, not ${sheet}`);
      quiet(page);
    });
  }

  it("takes one page for a very complex exam, and leaves nothing out for it", async () => {
    const exam = await signed(complex);
    await onePage("complex");
    assert.ok((await setting()).endsWith("sheet-tight"));
    const revisions = await page.evaluate(async (exam) => (await fetch(`/exam/${exam}/document.json`)).json(), exam);
    const { assessment } = revisions[0];
    /** @param {string} text */
    const plain = (text) => text.replace(/\s+/g, " ").toLowerCase();
    const text = plain(await page.locator("main").innerText());
    const says = (/** @type {string} */ words) => assert.ok(text.includes(plain(words)), `not on paper: ${words}`);
    assert.ok(assessment.flags.length > 10 && assessment.plan.actions.length > 15, "the exam is not that complex");
    for (const flag of assessment.flags) says(flag.says);
    for (const action of assessment.plan.actions) says(action.says.replace(/\.$/, ""));
    // These findings have a line of the table with words of its own.
    /** @type {Record<string, string>} */
    const lines = {
      "amputated": "toes or rays lost: 2; with the metatarsal head: 1 great", "open-wound": "wound: open", "nails": "thick, fungal, ingrown",
      "deformity": "claw toe, prominent metatarsal head, foot drop", "limited-movement": "movement: limited", "oedema": "oedema: present",
      "lops": "protective sensation: lost", "pulse": "dorsalis pedis pulse: absent",
    };
    for (const finding of assessment.findings) says(lines[finding.id] ?? finding.says.replace(/\.$/, ""));
    for (const words of ["posterior tibial pulse: weak", "ulcer u1, right foot", "ulcer u2, left foot", "528 mm²", "(down to the ankle)", complex.note]) says(words);
    quiet(page);
  });

  it("is set in type that can be read, in ink alone", async () => {
    await signed(complex);
    await page.emulateMedia({ media: "print", colorScheme: "dark" });
    const { small, hues } = await page.locator("main, main *:not(svg *)").evaluateAll((all) => {
      /** @type {{small: string[], hues: string[]}} */
      const found = { small: [], hues: [] };
      for (const element of all) {
        const { fontSize, color, backgroundColor } = getComputedStyle(element);
        const own = Array.from(element.childNodes).some((n) => n.nodeType === Node.TEXT_NODE && n.textContent?.trim());
        if (own && (Number.parseFloat(fontSize) * 72) / 96 < 8.49) found.small.push(`${fontSize} ${element.textContent?.slice(0, 40)}`);
        for (const c of [color, backgroundColor]) {
          const [r = 0, g = 0, b = 0, a = 1] = (c.match(/[\d.]+/g) ?? []).map(Number);
          if (a > 0 && Math.max(r, g, b) - Math.min(r, g, b) > 8) found.hues.push(c);
        }
      }
      return found;
    });
    assert.deepEqual(small, [], `smaller than ${smallestType} pt`);
    assert.deepEqual([...new Set(hues)], []);
    assert.ok(await page.locator(".paper-tools").isHidden(), "the buttons are printed");
    await page.emulateMedia({ media: null, colorScheme: null });
    quiet(page);
  });

  for (const screen of /** @type {(keyof typeof screens)[]} */ (["phone", "tablet", "laptop"])) {
    it(`has no accessibility fault on a ${screen}`, async () => {
      await page.setViewportSize(screens[screen]);
      for (const colorScheme of /** @type {const} */ (["light", "dark"])) {
        await page.emulateMedia({ colorScheme });
        await axe(page, `printed exam, ${screen}, ${colorScheme}`);
        await fits(page, `printed exam, ${screen}`);
      }
      quiet(page);
    });
  }
});
