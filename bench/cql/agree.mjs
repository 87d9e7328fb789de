// Makes people, has them judged by the product and by the engine, and compares.
//
//   node agree.mjs [--people N] [--seed N] [--zones UTC,...] [--forms instants,days] [--keep FOLDER]
//
// runs TENGRAM_BIN, or bin/tengram. It ends with 1 if anybody is judged
// otherwise than said in the README.
import { execFile } from "node:child_process";
import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { parseArgs, promisify } from "node:util";
import { allPolicies } from "./engine.mjs";
import { writePeople } from "./people.mjs";
import { between, fromLine, populations, same, word } from "./populations.mjs";
import { missing, readSets } from "./sets.mjs";
import { zones } from "./times.mjs";

const here = fileURLToPath(new URL(".", import.meta.url));
/** The product. */
export const binary = process.env.TENGRAM_BIN ?? join(here, "..", "..", "bin", "tengram");
const run = promisify(execFile);
const roomy = { maxBuffer: 1 << 30 };

const every = Object.keys(allPolicies);
// Those that say how a record is read. The others decide what the engine leaves
// undecided, and must therefore keep between its bounds.
const ofReading = ["spelling", "result-in-parts", "empty-result"];

/** The populations that the product gives, by person. */
export async function ours(folder, zone) {
  const args = ["evaluate", "--measure", "foot-exam", "--year", "2018", "--zone", zone.name, "--each", "--json", folder];
  // It ends with 1 where something in the input deserves a look: births that are
  // not there, contradictions. The lines are complete all the same.
  const { stdout } = await run(binary, args, roomy).catch((e) => (e.code === 1 ? e : Promise.reject(e)));
  return new Map(stdout.trimEnd().split("\n").map(fromLine));
}

/** What the engine says in each run, by name, of each person. */
export async function theirs(folder, zone, runs) {
  const job = JSON.stringify({ folder, offset: zone.offset, runs });
  const { stdout } = await run(process.execPath, [join(here, "engine.mjs"), job], { ...roomy, env: { ...process.env, TZ: zone.fixed } });
  const said = Object.fromEntries(runs.map(({ name }) => [name, new Map()]));
  for (const line of stdout.split("\n").filter(Boolean)) {
    const { run: name, id, ...flags } = JSON.parse(line);
    said[name].set(id, flags);
  }
  return said;
}

/**
 * Compares people in one zone. differences and broken must be empty; unlike are
 * those whom the bare published logic judges otherwise, and policy counts for
 * how many of them each policy makes the difference.
 */
export async function compare({ count, seed, zone, form, folder }) {
  writePeople(folder, { count, seed, zone, sets: readSets() });
  const [got, { all, least, most, published }] = await Promise.all([ours(folder, zone), theirs(folder, zone, [
    { name: "all", form, on: every },
    { name: "least", form, on: ofReading },
    { name: "most", form, on: ofReading, undecided: "yes" },
    { name: "published", form },
  ])]);
  const words = {};
  for (const p of got.values()) words[word(p)] = (words[word(p)] ?? 0) + 1;
  const differences = [...all].filter(([id, said]) => !got.has(id) || !same(got.get(id), populations(said)))
    .map(([id, said]) => `${zone.name}, ${form}, ${id}: ${word(got.get(id))} here, ${word(populations(said))} there`);
  if (got.size !== all.size) differences.push(`${zone.name}: ${got.size} people here, ${all.size} there`);
  const broken = [...got].filter(([id, p]) => !between(least.get(id), p, most.get(id)))
    .map(([id, p]) => `${zone.name}, ${form}, ${id}: ${word(p)} here, where the published logic is decided`);
  const unlike = [...got].filter(([id, p]) => !same(p, populations(published.get(id)))).map(([id]) => id);
  return { people: got.size, words, differences, broken, unlike: unlike.length, policy: await attribute({ got, unlike, zone, form, folder }) };
}

// attribute counts, of the people whom the published logic judges otherwise, for
// how many each policy is needed to come to the product's answer.
async function attribute({ got, unlike, zone, form, folder }) {
  const without = await theirs(folder, zone, every.map((policy) => ({ name: policy, form, only: unlike, on: every.filter((name) => name !== policy) })));
  const counts = {};
  const explained = new Set();
  for (const policy of every) {
    const needed = unlike.filter((id) => !same(got.get(id), populations(without[policy].get(id))));
    counts[policy] = needed.length;
    for (const id of needed) explained.add(id);
  }
  // Where each of two policies is enough, neither is needed.
  counts["either of two"] = unlike.length - explained.size;
  return counts;
}

async function main() {
  const { values } = parseArgs({ options: {
    people: { type: "string", default: "21000" }, seed: { type: "string", default: "2018" },
    zones: { type: "string", default: zones.map((z) => z.name).join(",") }, forms: { type: "string", default: "instants,days" }, keep: { type: "string" },
  } });
  if (missing) throw new Error(missing);
  const base = values.keep ?? mkdtempSync(join(tmpdir(), "tengram-cql-"));
  const chosen = zones.filter((z) => values.zones.split(",").includes(z.name));
  let bad = 0;
  for (const [i, zone] of chosen.entries()) {
    for (const form of values.forms.split(",")) {
      const r = await compare({ count: Math.ceil(Number(values.people) / chosen.length), seed: Number(values.seed) + i, zone, form, folder: join(base, String(i)) });
      bad += r.differences.length + r.broken.length;
      console.log(`${zone.name}, ${form}: ${r.people} people, ${r.differences.length} differences, ${r.broken.length} against a decided answer; ` +
        `${r.unlike} unlike the bare published logic`);
      console.log(`  ${Object.entries(r.words).map(([name, n]) => `${name} ${n}`).join(", ")}`);
      console.log(`  ${Object.entries(r.policy).map(([name, n]) => `${name} ${n}`).join(", ")}`);
      for (const line of [...r.differences, ...r.broken].slice(0, 20)) console.log(`  ${line}`);
    }
  }
  if (!values.keep) rmSync(base, { recursive: true });
  process.exitCode = bad > 0 ? 1 : 0;
}

if (process.argv[1] === fileURLToPath(import.meta.url)) await main();
