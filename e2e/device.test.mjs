// What a device decides by itself, without a browser: which draft goes on, when
// the queue tries again, what it does with each answer.
import assert from "node:assert/strict";
import { beforeEach, describe, it } from "node:test";
import { source } from "./source.mjs";

const { decide, fingerprint, Keeper } = await source("offline/draft");
const { digest, pause, Queue } = await source("offline/queue");

describe("which draft goes on", () => {
  const agreed = JSON.stringify({ ask: { numbness: "yes" }, right: { look: { skin: "normal" } } });
  const changed = JSON.stringify({ ask: { numbness: "yes", claudication: "no" }, right: { look: { skin: "normal" } } });
  const other = JSON.stringify({ ask: { numbness: "no" }, right: { look: { skin: "normal" } } });
  const base = fingerprint(agreed);

  for (const [name, device, practice, want] of /** @type {[string, object | undefined, string, string][]} */ ([
    ["nothing here", undefined, agreed, "practice"],
    ["the same on both sides", { answers: agreed, base, unsent: false }, agreed, "same"],
    ["changed here only", { answers: changed, base, unsent: true }, agreed, "device"],
    ["changed at the practice only", { answers: agreed, base, unsent: false }, other, "practice"],
    ["changed on both sides", { answers: changed, base, unsent: true }, other, "ask"],
    ["changed on both sides to the same", { answers: changed, base, unsent: true }, changed, "same"],
    ["never sent at all", { answers: changed, base: "", unsent: true }, agreed, "ask"],
  ])) {
    it(name, () => assert.equal(decide(device, practice), want));
  }

  it("does not depend on the order of the answers or on the clock of the page", () => {
    const turned = JSON.stringify({ right: { look: { skin: "normal" } }, seconds: { look: 40 }, ask: { numbness: "yes" } });
    assert.equal(fingerprint(turned), base);
    assert.notEqual(fingerprint(changed), base);
    assert.notEqual(fingerprint(JSON.stringify({ ulcers: [{ id: "u1" }, { id: "u2" }] })), fingerprint(JSON.stringify({ ulcers: [{ id: "u2" }, { id: "u1" }] })));
  });
});

describe("keeping a draft", () => {
  it("writes the newest state, skips those between, and knows what is unsent", async () => {
    /** @type {any[]} */
    const written = [];
    const vault = { put: async (/** @type {string} */ _kind, /** @type {string} */ _exam, /** @type {any} */ value) => void (await new Promise((r) => setTimeout(r, 5)), written.push(value)) };
    const text = (/** @type {number} */ n) => JSON.stringify({ note: `state ${n}` });
    const keeper = new Keeper(vault, "e1", fingerprint(text(0)));
    for (let n = 0; n < 20; n++) keeper.keep(text(n));
    await keeper.settled();
    assert.equal(written.at(-1).answers, text(19));
    assert.equal(written.at(-1).unsent, true);
    assert.ok(written.length < 20, `${written.length} writes`);
    keeper.confirmed(text(19), text(19));
    await keeper.settled();
    assert.equal(written.at(-1).unsent, false);
  });

  it("says so when nothing can be written, and goes on with the next", async () => {
    /** @type {unknown[]} */
    const failed = [];
    let full = true;
    /** @type {any[]} */
    const written = [];
    const vault = { put: async (/** @type {string} */ _k, /** @type {string} */ _e, /** @type {any} */ v) => { if (full) throw new Error("full"); written.push(v); } };
    const keeper = new Keeper(vault, "e1", "", (/** @type {unknown} */ e) => failed.push(e));
    keeper.keep("{}");
    await keeper.settled();
    full = false;
    keeper.keep('{"note":"a"}');
    await keeper.settled();
    assert.equal(failed.length, 1);
    assert.equal(written.length, 1);
  });
});

/** A vault in memory, with nothing sealed. */
class Memory {
  /** @type {Map<string, any>} */
  entries = new Map();
  /** @param {{put?: any[], drop?: any[]}} change */
  async write(change) {
    for (const p of change.put ?? []) this.entries.set(`${p.kind}/${p.exam}`, p.value);
    for (const d of change.drop ?? []) this.entries.delete(`${d.kind}/${d.exam}`);
  }
  /** @param {string} kind @param {string} exam @param {any} value */
  async put(kind, exam, value) {
    this.entries.set(`${kind}/${exam}`, value);
  }
  /** @param {string} kind @param {string} exam */
  async get(kind, exam) {
    const value = this.entries.get(`${kind}/${exam}`);
    return value && { value };
  }
  /** @param {string} kind */
  async list(kind) {
    return [...this.entries].filter(([name]) => name.startsWith(`${kind}/`)).map(([, value]) => ({ value }));
  }
  /** @param {string} exam */
  async dropExam(exam) {
    for (const name of [...this.entries.keys()]) if (name.endsWith(`/${exam}`) && !name.startsWith("signed/")) this.entries.delete(name);
  }
}

describe("the queue", () => {
  const of = { exam: { id: "e1", revision: 1, patient: "p1", at: "2026-05-04T09:00:00-05:00" }, person: { id: "p1", given: "Rosa", family: "Quill" } };
  const text = '{"id":"e1",  "revision":1}';
  /** @type {Memory} */
  let vault;
  /** @type {any} */
  let queue;
  /** @type {{url: string, key: string, body: string}[]} */
  let asked;
  /** @type {() => Promise<Response>} */
  let answer;
  const confirmation = async (/** @type {object} */ change = {}) => ({ exam: "e1", revision: 1, sha256: await digest(text), ...change });
  const json = (/** @type {unknown} */ value, status = 200) => new Response(JSON.stringify(value), { status });

  beforeEach(async () => {
    vault = new Memory();
    asked = [];
    const there = /** @type {any} */ (globalThis);
    there.dispatchEvent ??= () => true;
    there.fetch = async (/** @type {string} */ url, /** @type {any} */ init) => {
      asked.push({ url, key: init.headers["Idempotency-Key"], body: init.body });
      return answer();
    };
    queue = new Queue(vault);
    await vault.put("draft", "e1", {});
    await vault.put("case", "e1", {});
    await queue.sign(of, text);
  });

  it("takes the draft out with the signature, and signs a revision once", async () => {
    assert.deepEqual([...vault.entries.keys()].sort(), ["case/e1", "signed/e1"]);
    const first = await queue.of("e1");
    assert.equal((await queue.sign(of, text)).key, first.key, "signed twice");
    assert.equal(first.text, text);
    assert.equal(first.name, "Rosa Quill");
  });

  it("lets go when the practice confirms revision and bytes", async () => {
    answer = async () => json(await confirmation());
    assert.equal((await queue.send()).get("e1"), "sent");
    assert.equal(asked[0]?.body, text);
    assert.equal(vault.entries.size, 0);
  });

  for (const [name, change] of /** @type {[string, object][]} */ ([
    ["other bytes", { sha256: "00" }],
    ["another revision", { revision: 2 }],
    ["another exam", { exam: "e2" }],
  ])) {
    it(`keeps what was confirmed as ${name}, and says so`, async () => {
      answer = async () => json(await confirmation(change));
      assert.equal((await queue.send()).get("e1"), "refused");
      assert.match((await queue.of("e1")).says, /another document/);
      assert.equal((await queue.of("e1")).text, text);
    });
  }

  for (const [status, outcome, state] of /** @type {[number, string, string][]} */ ([
    [401, "sign-in", "waiting"],
    [403, "refused", "refused"],
    [409, "conflict", "conflict"],
    [413, "refused", "refused"],
    [422, "refused", "refused"],
    [429, "waiting", "waiting"],
    [500, "waiting", "waiting"],
    [503, "waiting", "waiting"],
  ])) {
    it(`keeps it on ${status}: ${outcome}`, async () => {
      answer = async () => json({ says: "because" }, status);
      assert.equal((await queue.send()).get("e1"), outcome);
      const kept = await queue.of("e1");
      assert.equal(kept.state, state);
      assert.equal(kept.text, text);
      if (state !== "waiting") assert.equal(kept.says, "because");
      queue.stop();
    });
  }

  it("keeps it when there is no answer, or half of one, and sends it under the same key", async () => {
    answer = async () => Promise.reject(new TypeError("no network"));
    assert.equal((await queue.send()).get("e1"), "waiting");
    answer = async () => new Response('{"exam":"e1","rev');
    assert.equal((await queue.send()).get("e1"), "waiting");
    answer = async () => json(await confirmation());
    assert.equal((await queue.send()).get("e1"), "sent");
    assert.equal(new Set(asked.map((a) => a.key)).size, 1);
    assert.equal(asked.length, 3);
    queue.stop();
  });

  it("does not send by itself what waits for a person", async () => {
    answer = async () => json({ says: "no" }, 422);
    await queue.send();
    await queue.send();
    assert.equal(asked.length, 1);
    answer = async () => json(await confirmation());
    await queue.again("e1");
    assert.equal(asked.length, 2);
    assert.equal(vault.entries.size, 0);
  });

  it("waits longer each time, up to five minutes", () => {
    const pauses = [0, 1, 2, 3, 7, 8, 30, 1000].map((n) => pause(n, 0.5));
    assert.deepEqual(pauses, [2000, 4000, 8000, 16000, 256000, 300000, 300000, 300000]);
    assert.ok(pause(0, 0) >= 1800 && pause(0, 1) <= 2200);
  });
});
