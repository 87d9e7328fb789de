// Reads the published value sets of CMS123v7 from the reference table that lies
// beside the repository. They are never copied into it.
import { existsSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { fileURLToPath } from "node:url";

const root = fileURLToPath(new URL("../..", import.meta.url));
/** The reference beside the repository. */
export const shared = process.env.TENGRAM_SHARED ?? join(root, "..", "shared");
const table = join(shared, "reference", "codes", "ecqm-cms123v7-valuesets.csv");

/** Why the value sets cannot be read, or undefined. */
export const missing = existsSync(table) ? undefined : `the value sets are not there: ${table}`;

/** The sets: codes by OID, as an engine takes them, and the OIDs by name. */
export function readSets() {
  const byOID = {};
  const oids = {};
  for (const [oid, name, system, code] of rows(readFileSync(table, "utf8")).slice(1)) {
    if (oid === "direct-reference-code") continue;
    oids[name] = oid;
    byOID[oid] ??= { 2018: [] };
    byOID[oid][2018].push({ code, system });
  }
  return { byOID, oids };
}

/** The codes of a set, by its name. */
export function codesOf(sets, name) {
  const oid = sets.oids[name];
  if (!oid) throw new Error(`there is no value set ${name}`);
  return sets.byOID[oid][2018];
}

// rows reads comma separated values with double quotes around some of them.
function rows(csv) {
  return csv
    .split(/\r?\n/)
    .filter((line) => line)
    .map((line) => [...line.matchAll(/("(?:[^"]|"")*"|[^,]*)(?:,|$)/g)].map((m) => m[1].replace(/^"|"$/g, "").replaceAll('""', '"')).slice(0, 4));
}
