// Reads a folder of NDJSON for the engine, one Bundle a person: what a FHIR
// server that holds the same files would answer for each of them.
//
// Of two lines with one type and id the one of the newer version stands. A
// person who was merged into another is not a person any more, and what is about
// them is about the other.
import { readdirSync, readFileSync } from "node:fs";
import { join } from "node:path";

/** Bundles by person, in the order of ids. */
export function readBundles(folder) {
  const newest = new Map();
  for (const name of readdirSync(folder).filter((n) => n.endsWith(".ndjson")).sort()) {
    for (const line of readFileSync(join(folder, name), "utf8").split("\n")) {
      if (!line) continue;
      const resource = JSON.parse(line);
      const key = `${resource.resourceType}/${resource.id}`;
      if (!newest.has(key) || !older(resource.meta, newest.get(key).meta)) newest.set(key, resource);
    }
  }
  const people = [...newest.values()].filter((r) => r.resourceType === "Patient");
  const into = merges(people);
  const bundles = new Map();
  for (const person of people.sort((a, b) => (a.id < b.id ? -1 : 1))) {
    if (!into.has(person.id)) bundles.set(person.id, { resourceType: "Bundle", type: "collection", entry: [{ resource: person }] });
  }
  for (const resource of newest.values()) {
    if (resource.resourceType === "Patient") continue;
    const id = resource.subject.reference.replace("Patient/", "");
    bundles.get(into.get(id) ?? id)?.entry.push({ resource });
  }
  return bundles;
}

// older says that one meta is of an older version than another: by the instants
// where both have one, else by the numbers. Thousandths of a second are enough
// here.
function older(one, other) {
  const [a, b] = [Date.parse(one?.lastUpdated), Date.parse(other?.lastUpdated)];
  if (a < b || a > b) return a < b;
  const whole = /^\d{1,18}$/;
  return whole.test(one?.versionId) && whole.test(other?.versionId) && BigInt(one.versionId) < BigInt(other.versionId);
}

// merges says who stands for whom.
function merges(people) {
  const into = new Map();
  for (const person of people) {
    for (const link of person.link ?? []) {
      const other = link.other.reference.replace("Patient/", "");
      if (link.type === "replaced-by") into.set(person.id, other);
      if (link.type === "replaces") into.set(other, person.id);
    }
  }
  return into;
}

/** The same Bundle with every instant written in one offset from universal time, in hours. */
export function writtenAt(offset, value) {
  if (Array.isArray(value)) return value.map((x) => writtenAt(offset, x));
  if (value !== null && typeof value === "object") return Object.fromEntries(Object.entries(value).map(([key, x]) => [key, writtenAt(offset, x)]));
  if (typeof value !== "string" || !/^\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d(\.\d+)?(Z|[+-]\d\d:\d\d)$/.test(value)) return value;
  const there = new Date(Date.parse(value) + offset * 3600_000).toISOString().slice(0, 23);
  const minutes = Math.abs(offset) * 60;
  const two = (n) => String(Math.floor(n)).padStart(2, "0");
  return `${there}${offset < 0 ? "-" : "+"}${two(minutes / 60)}:${two(minutes % 60)}`;
}

// What the product reads in a code beyond its letters: a policy of its own, and
// the one that an engine has no word for.
const systems = {
  "urn:oid:2.16.840.1.113883.6.96": "http://snomed.info/sct",
  "urn:oid:2.16.840.1.113883.6.90": "http://hl7.org/fhir/sid/icd-10-cm",
  "urn:oid:2.16.840.1.113883.6.103": "http://hl7.org/fhir/sid/icd-9-cm",
  "urn:oid:2.16.840.1.113883.6.12": "http://www.ama-assn.org/go/cpt",
  "urn:oid:2.16.840.1.113883.6.285": "https://www.cms.gov/Medicare/Coding/HCPCSReleaseCodeSets",
  "http://www.cms.gov/Medicare/Coding/HCPCSReleaseCodeSets": "https://www.cms.gov/Medicare/Coding/HCPCSReleaseCodeSets",
};
const icd10 = "http://hl7.org/fhir/sid/icd-10-cm";

/** The same Bundle with the codes spelled as their systems spell them. */
export function respelled(value) {
  if (Array.isArray(value)) return value.map(respelled);
  if (value === null || typeof value !== "object") return value;
  const copy = Object.fromEntries(Object.entries(value).map(([key, x]) => [key, respelled(x)]));
  if (typeof copy.system === "string" && typeof copy.code === "string") {
    copy.system = systems[copy.system] ?? copy.system;
    copy.code = copy.code.trim();
    if (copy.system === icd10) copy.code = copy.code.toUpperCase().replace(/^([A-Z0-9]{3})([A-Z0-9]+)$/, "$1.$2");
  }
  return copy;
}
