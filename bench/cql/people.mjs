// Makes people on whom a quality measure can err: births on the edge of an age,
// visits across midnight in other zones, near misses of every code, ends that
// nobody wrote down. The same seed gives the same people.
import { appendFileSync, mkdirSync, rmSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { chanceFrom } from "./chance.mjs";
import { conditionsOf, amputationsOf } from "./diagnoses.mjs";
import { hospiceOf, resultsOf, visitsOf } from "./events.mjs";
import { timesOf } from "./times.mjs";

/** Yields the resources of one person after another. */
export function* people({ count, seed, zone, sets }) {
  const chance = chanceFrom(seed);
  const times = timesOf(chance, zone);
  for (let i = 0; i < count; i++) {
    const id = `p${String(i).padStart(6, "0")}`;
    yield onePerson({ chance, times, sets, id });
  }
}

function onePerson(world) {
  const { chance, id } = world;
  const patient = { resourceType: "Patient", id, gender: chance.pick(["female", "male", "other", "unknown"]), ...birth(chance), ...fate(chance) };
  const facts = [...visitsOf(world), ...conditionsOf(world), ...amputationsOf(world), ...hospiceOf(world), ...resultsOf(world)];
  const named = facts.map((fact, n) => ({ resourceType: fact.resourceType, id: `${id}-${n}`, subject: { reference: `Patient/${id}` }, ...fact }));
  return [patient, ...twice(chance, named)];
}

// The measure counts those who are 18 and not yet 75 on 1 January 2018.
function birth(chance) {
  const edges = ["2000-01-01", "2000-01-02", "1999-12-31", "1943-01-01", "1943-01-02", "1942-12-31", "1943-12-31", "2000-02-29", "1944-02-29"];
  const vague = ["1943", "2000", "1943-01", "2000-01", "1960", "1975-02", "1942", "1999"];
  const birthDate = chance.weighted([
    [78, () => `19${chance.int(45, 98)}-${String(chance.int(1, 12)).padStart(2, "0")}-${chance.int(10, 28)}`],
    [14, () => chance.pick(edges)],
    [4, () => chance.pick(vague)],
    [3, () => chance.pick(["1931-05-05", "2008-07-07", "2018-03-03"])],
    [1, () => undefined],
  ])();
  return birthDate ? { birthDate } : {};
}

// Neither death nor a record that is not in use plays any part.
function fate(chance) {
  return chance.weighted([[90, {}], [4, { deceasedDateTime: "2018-06-01" }], [3, { deceasedBoolean: true }], [3, { active: false }]]);
}

// Some things come twice: under the same id, where the later one stands or, told
// by when it was changed, the earlier, and under a new one.
function twice(chance, facts) {
  const all = [...facts];
  for (const fact of facts) {
    if (chance.of(3)) all.push({ ...fact, id: `${fact.id}-again` });
    if (chance.of(2)) all.push(fact);
    if (!chance.of(2)) continue;
    const mistake = { ...fact, status: fact.status && "entered-in-error", verificationStatus: fact.verificationStatus };
    if (all.length % 2 === 1) {
      all.push(mistake);
      continue;
    }
    all[all.indexOf(fact)] = { ...mistake, meta: { lastUpdated: "2018-12-01T00:30:00+05:30" } };
    all.push({ ...fact, meta: { lastUpdated: "2018-11-30T18:59:00Z" } });
  }
  return all.map((fact) => JSON.parse(JSON.stringify(fact)));
}

/** Writes people to a folder, one NDJSON file a type. A few are merged into the one before. */
export function writePeople(folder, options) {
  rmSync(folder, { recursive: true, force: true });
  mkdirSync(folder, { recursive: true });
  const chance = chanceFrom(options.seed + 1);
  const files = new Map();
  let before;
  const flush = () => {
    for (const [type, lines] of files) appendFileSync(join(folder, `${type}.ndjson`), lines.join("\n") + "\n");
    files.clear();
  };
  let n = 0;
  for (const resources of people(options)) {
    const [patient] = resources;
    if (before && chance.of(1)) patient.link = [{ other: { reference: `Patient/${before}` }, type: chance.pick(["replaced-by", "replaces", "seealso", "refer"]) }];
    before = patient.link ? undefined : patient.id;
    for (const r of resources) {
      if (!files.has(r.resourceType)) files.set(r.resourceType, []);
      files.get(r.resourceType).push(JSON.stringify(r));
    }
    if (++n % 2000 === 0) flush();
  }
  flush();
  writeFileSync(join(folder, "about.txt"), `${options.count} made-up people, seed ${options.seed}, zone ${options.zone.name}\n`);
}
