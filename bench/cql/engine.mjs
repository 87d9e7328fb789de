// Runs the foot exam measure on the general-purpose engine.
//
//   node engine.mjs '{"folder": "...", "offset": -5, "runs": [{"name": "...", ...}]}'
//
// reads the people of a folder, runs each of the runs, whose fields are those of
// makeEngine and "only", a list of ids, and prints one line of JSON a run and
// person. The offset is the practice's from universal time, in hours, at both
// ends of 2018; the process must run in a time zone of that fixed offset,
// because the engine takes the offset of a date without one from there.
import { fileURLToPath } from "node:url";
import cql from "cql-execution";
import fhir from "cql-exec-fhir";
import { footExam, ownSets, policies } from "./footexam.mjs";
import { flags } from "./populations.mjs";
import { readBundles, respelled, writtenAt } from "./read.mjs";
import { readSets } from "./sets.mjs";

/** Every policy: those of the logic, and the one of reading codes. */
export const allPolicies = {
  ...policies,
  spelling: "a code without its dot, in small letters, or of a system under another of its names is that code",
};

/**
 * An engine for one year and offset. mistake replaces a piece of text in the
 * measure, which is how the tests see that a wrong one would be noticed.
 */
export function makeEngine({ year = 2018, offset, form = "instants", undecided = "no", on = [], mistake }) {
  for (const name of on) if (!(name in allPolicies)) throw new Error(`there is no policy ${name}`);
  const sets = readSets();
  const elm = footExam(sets.oids, { form, undecided, on });
  const measure = new cql.Library(mistake ? wrong(elm, mistake) : elm);
  const midnight = (y) => new cql.DateTime(y, 1, 1, 0, 0, 0, 0, offset);
  const period = new cql.Interval(midnight(year), midnight(year + 1), true, false);
  const executor = new cql.Executor(measure, new cql.CodeService({ ...sets.byOID, ...ownSets }), { "Measurement Period": period });
  const read = (bundle) => {
    const spelled = on.includes("spelling") ? respelled(bundle) : bundle;
    return form === "days" ? writtenAt(offset, spelled) : spelled;
  };
  return {
    /** The flags of people, by id. */
    async run(bundles) {
      const source = fhir.PatientSource.FHIRv401();
      source.loadBundles(bundles.map(read));
      const said = (await executor.exec(source, midnight(year + 1))).patientResults;
      return new Map(Object.entries(said).map(([id, definitions]) => [id, flags(definitions)]));
    },
  };
}

function wrong(elm, { from, to }) {
  const text = JSON.stringify(elm);
  if (!text.includes(from)) throw new Error(`the measure does not hold ${from}`);
  return JSON.parse(text.replaceAll(from, to));
}

/** Runs people in groups, so that what the engine keeps of them stays small. */
export async function runAll(engine, bundles, each) {
  for (let i = 0; i < bundles.length; i += 500) {
    for (const [id, said] of await engine.run(bundles.slice(i, i + 500))) each(id, said);
  }
}

async function main() {
  const { folder, offset, runs } = JSON.parse(process.argv[2]);
  if (new Date().getTimezoneOffset() !== -60 * offset) throw new Error(`run this in a zone that is ${offset} hours from universal time`);
  const bundles = readBundles(folder);
  for (const { name, only, ...options } of runs) {
    const people = only ? only.map((id) => bundles.get(id)) : [...bundles.values()];
    const lines = [];
    await runAll(makeEngine({ offset, ...options }), people, (id, said) => lines.push(JSON.stringify({ run: name, id, ...said })));
    if (lines.length) process.stdout.write(lines.join("\n") + "\n");
  }
}

if (process.argv[1] === fileURLToPath(import.meta.url)) await main();
