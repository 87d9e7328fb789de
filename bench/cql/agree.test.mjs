// The foot exam measure gives, person by person, what the published logic gives
// when an engine that knows nothing of this project runs it.
import assert from "node:assert/strict";
import { existsSync, mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { after, before, describe, test } from "node:test";
import { binary, compare, ours, theirs } from "./agree.mjs";
import { allPolicies } from "./engine.mjs";
import { writePeople } from "./people.mjs";
import { populations, same, word } from "./populations.mjs";
import { missing, readSets } from "./sets.mjs";
import { resourcesOf, situations } from "./situations.mjs";
import { referenceCases } from "./reference.mjs";
import { zones } from "./times.mjs";

const utc = zones[0];
const skip = missing ?? (existsSync(binary) ? false : `the program is not built: ${binary}`);

describe("the foot exam measure and a general-purpose engine", { skip, concurrency: 2 }, () => {
  let base;
  before(() => { base = mkdtempSync(join(tmpdir(), "tengram-cql-")); });
  after(() => rmSync(base, { recursive: true }));

  const folderOf = (name, resources) => {
    const folder = mkdtempSync(join(base, name));
    writeFileSync(join(folder, "all.ndjson"), resources.map((r) => JSON.stringify(r)).join("\n") + "\n");
    return folder;
  };

  test("the measure as told here gives what the published one gave for the 96 cases of the reference", async () => {
    const cases = referenceCases();
    assert.equal(cases.length, 96);
    const folder = folderOf("reference", cases.flatMap((c) => c.resources));
    const [got, { published }] = await Promise.all([ours(folder, utc), theirs(folder, utc, [{ name: "published" }])]);
    // The reference's engine ended the year at 23:59:59.000, found nothing in a
    // period without start and end, and moved births between zones.
    const unlike = cases.filter((c) => !same(c.found, populations(published.get(c.id)))).map((c) => c.id);
    assert.deepEqual(unlike, ["C015", "C031", "C096"]);
    // C095 is to be judged in another zone than UTC.
    const amiss = cases.filter((c) => !same(c.expected, got.get(c.id))).map((c) => c.id);
    assert.deepEqual(amiss, ["C095"]);
    const west = { name: "America/New_York" };
    assert.ok(same(cases.find((c) => c.id === "C095").expected, (await ours(folder, west)).get("C095")));
  });

  test("where the product, the logic by instants and the logic by days could differ, each says what is written down", async () => {
    const ids = situations.map((_, i) => `s${String(i).padStart(3, "0")}`);
    const folder = folderOf("situations", situations.flatMap((s, i) => resourcesOf(s, ids[i])));
    const every = Object.keys(allPolicies);
    const [got, said] = await Promise.all([ours(folder, utc), theirs(folder, utc, [
      { name: "instants", form: "instants" }, { name: "days", form: "days" }, { name: "all", on: every },
      ...every.map((policy) => ({ name: policy, on: every.filter((p) => p !== policy) })),
    ])]);
    const engine = (run, id) => word(populations(said[run].get(id)));
    for (const [i, s] of situations.entries()) {
      const id = ids[i];
      assert.deepEqual({ ours: word(got.get(id)), instants: engine("instants", id), days: engine("days", id) }, { ours: s.ours, instants: s.instants, days: s.days }, s.says);
      assert.equal(engine("all", id), s.ours, `${s.says}: with all policies`);
      assert.equal(s.policy === undefined, s.ours === s.instants, `${s.says}: a policy is named where the two differ, and only there`);
      if (s.policy) assert.equal(engine(s.policy, id), s.instants, `${s.says}: without ${s.policy}`);
    }
    assert.deepEqual(new Set(situations.map((s) => s.policy).filter(Boolean)), new Set(every), "every policy has a situation");
  });

  for (const [i, zone] of zones.entries()) {
    test(`of 667 made-up people in ${zone.name} everybody is judged alike, but for the policies`, async (t) => {
      const r = await compare({ count: 667, seed: 7 + i, zone, form: "instants", folder: join(base, `zone${i}`) });
      t.diagnostic(`${r.people} people: ${JSON.stringify(r.words)}; unlike the bare published logic ${r.unlike}: ${JSON.stringify(r.policy)}`);
      assert.deepEqual(r.differences, []);
      assert.deepEqual(r.broken, []);
      // People on whom nothing hangs would prove nothing.
      for (const name of ["not counted", "left out", "met", "not met"]) assert.ok(r.words[name] > r.people / 20, `${name}: ${r.words[name]}`);
      assert.ok(r.unlike > 0 && r.unlike < r.people / 20, `${r.unlike} unlike the bare published logic`);
    });
  }

  test("a wrong measure is noticed", async () => {
    const folder = join(base, "wrong");
    writePeople(folder, { count: 400, seed: 99, zone: utc, sets: readSets() });
    const on = Object.keys(allPolicies);
    const mistakes = [
      { from: '"value":"75"', to: '"value":"76"' },
      { from: '"value":"18"', to: '"value":"19"' },
      { from: '"value":"finished"', to: '"value":"planned"' },
      { from: '"name":"Diabetes"', to: '"name":"Encounter Inpatient"' },
      { from: '"name":"Left"', to: '"name":"Right"' },
      { from: '"name":"Hospice care ambulatory"', to: '"name":"Left"' },
      { from: '"value":"amended"', to: '"value":"registered"' },
      { from: '"type":"IncludedIn"', to: '"type":"Overlaps"' },
    ];
    const [got, said] = await Promise.all([ours(folder, utc), theirs(folder, utc, [{ name: "right", on }, ...mistakes.map((mistake, i) => ({ name: String(i), on, mistake }))])]);
    const differences = (run) => [...said[run]].filter(([id, flags]) => !same(got.get(id), populations(flags))).length;
    assert.equal(differences("right"), 0);
    for (const [i, mistake] of mistakes.entries()) assert.ok(differences(String(i)) > 0, `${mistake.to} for ${mistake.from} goes unnoticed`);
    const elsewhere = await ours(folder, zones[2]);
    assert.ok([...got].some(([id, p]) => !same(p, elsewhere.get(id))), "another zone makes no difference");
  });
});
