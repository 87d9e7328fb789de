// One set of rules and one set of pages: what the kernel says and draws in a
// browser is what the server says and draws, for the twenty example exams.
import assert from "node:assert/strict";
import { after, before, describe, it } from "node:test";
import { startProgram } from "./harness.mjs";
import { example, examples, loadKernel } from "./source.mjs";

describe("the kernel", () => {
  /** @type {import("./harness.mjs").Program} */
  let program;
  /** @type {Record<string, (text: string) => string>} */
  let kernel;
  let cookie = "";
  let exam = "";
  /** The case of a draft, as a device takes it along. @type {any} */
  let of;

  /** @param {string} path @param {RequestInit} [init] */
  const ask = (path, init = {}) => fetch(program.url + path, { redirect: "manual", ...init, headers: { ...init.headers, Cookie: cookie } });
  /** @param {string} path @param {unknown} value */
  const post = async (path, value) => {
    const answer = await ask(path, { method: "POST", body: JSON.stringify(value), headers: { "Content-Type": "application/json" } });
    assert.equal(answer.status, 200, `${path}: ${answer.status}`);
    return answer.text();
  };

  before(async () => {
    kernel = await loadKernel();
    program = await startProgram();
    const form = new URLSearchParams({ account: "practice", passphrase: program.passphrase });
    const signed = await ask("/sign-in", { method: "POST", body: form });
    cookie = (signed.headers.getSetCookie()[0] ?? "").split(";")[0] ?? "";
    const due = await (await ask("/ulcers")).text();
    const person = /href="(\/person\/[^"/]+)"/.exec(due)?.[1] ?? "";
    const started = await ask(`${person}/exam`, { method: "POST" });
    exam = started.headers.get("location")?.split("/")[2] ?? "";
    assert.ok(exam, "no exam was started");
    of = await (await ask(`/exam/${exam}/case.json`)).json();
  });
  after(async () => {
    await program?.stop();
  });

  it("knows the editions of the program", () => {
    const ids = JSON.parse(kernel.editions("")).map((/** @type {{ID: string}} */ e) => e.ID);
    assert.ok(ids.includes(of.edition), `${of.edition} is not among ${ids}`);
  });

  it("judges the twenty examples as the server does, with a person's background", async () => {
    const names = await examples();
    assert.equal(names.length, 20);
    assert.notDeepEqual(of.background, {}, "the background is empty: take another person");
    for (const name of names) {
      const document = { ...(await example(name)), ...owned(of.exam) };
      const there = JSON.parse(await post(`/exam/${exam}/assess`, document));
      const here = JSON.parse(
        kernel.assess(JSON.stringify({ exam: document, background: of.background, edition: of.edition, on: of.on, "recall-choice": of["recall-choice"] })),
      );
      assert.ok(there.assessment.risks.length > 0, name);
      // The server names the edition on the draft before it judges.
      assert.deepEqual(here, there, name);
    }
  });

  it("follows the practice's choice inside recall intervals", () => {
    const judge = (/** @type {string} */ choice) =>
      kernel.assess(JSON.stringify({ exam: of.exam, background: of.background, edition: of.edition, on: of.on, "recall-choice": choice }));
    assert.notEqual(judge("min"), judge("max"));
  });

  it("draws the twenty results as the server does, letter for letter", async () => {
    for (const name of await examples()) {
      const answers = answersOf(await example(name));
      const there = await post(`/exam/${exam}/preview`, answers);
      same(kernel.parts(JSON.stringify({ ...of, answers })), there, name);
    }
  });

  it("draws the exam page and the review as the server does", async () => {
    const answers = answersOf(await example("17-ulcer-infected"));
    const kept = await ask(`/exam/${exam}/draft`, { method: "PUT", body: JSON.stringify(answers), headers: { "Content-Type": "application/json" } });
    assert.equal(kept.status, 204);
    const text = JSON.stringify({ ...of, answers });
    for (const [call, path] of [["exam", "edit"], ["sign", "sign"]]) {
      const here = mainOf(kernel[String(call)]?.(text) ?? "");
      const there = mainOf(await (await ask(`/exam/${exam}/${path}`)).text());
      assert.ok(there.length > 10_000, path);
      same(here.replace("Kept on this device.", "Draft kept."), there, path);
    }
  });

  it("seals the document that the page shows, and the practice keeps it byte for byte", async () => {
    const answers = { ...answersOf(await example("17-ulcer-infected")), at: of.exam.at };
    const sealed = kernel.seal(JSON.stringify({ ...of, answers }));
    const document = JSON.parse(sealed);
    assert.equal(document.id, exam);
    assert.equal(document.edition, of.edition);
    assert.deepEqual(document.ulcers, answers.ulcers);
    const answer = await ask(`/exam/${exam}/signed`, { method: "POST", body: sealed, headers: { "Content-Type": "application/json", "Idempotency-Key": "one" } });
    assert.equal(answer.status, 200, await answer.clone().text());
    assert.equal(await (await ask(`/exam/${exam}/signed.json`)).text(), sealed);
    const [revised] = await (await ask(`/exam/${exam}/document.json`)).json();
    assert.deepEqual(revised.exam, document);
  });

  it("says what it cannot do, and goes on", () => {
    assert.match(JSON.parse(kernel.assess("{")).error, /./);
    assert.match(JSON.parse(kernel.assess(JSON.stringify({ exam: of.exam, edition: "moon-1", on: of.on }))).error, /moon-1/);
    assert.match(JSON.parse(kernel.seal(JSON.stringify({ ...of, answers: { ask: { "a1c-percent": "7.25" } } }))).error, /cannot be read/);
    assert.ok(kernel.parts(JSON.stringify(of)).includes('id="result"'));
  });
});

/** What the server knows of a draft. @param {any} d */
function owned(d) {
  return { schema: d.schema, id: d.id, revision: d.revision, patient: d.patient, examiner: d.examiner, edition: d.edition, amends: d.amends, at: d.at };
}

/** The page's own part. @param {string} page */
function mainOf(page) {
  return page.slice(page.indexOf("<main"), page.indexOf("</main>"));
}

/** The answers of a document as a form holds them. The time of the exam is not
 *  asked on the page, and stays that of the draft. @param {any} document */
function answersOf(document) {
  const { schema, id, revision, patient, examiner, edition, at, ...answers } = document;
  return answers;
}

/** Compares two pages, and shows where they part.
 * @param {string | undefined} here @param {string} there @param {string | undefined} name */
function same(here, there, name) {
  if (here === there) return;
  let i = 0;
  while (here?.[i] === there[i]) i++;
  assert.fail(`${name} differs:\n  here  ...${here?.slice(Math.max(0, i - 80), i + 160)}\n  there ...${there.slice(Math.max(0, i - 80), i + 160)}`);
}
