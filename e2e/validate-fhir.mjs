// Checks FHIR R4 files with two validators that are not ours:
//
//   node e2e/validate-fhir.mjs FILE...
//
// Prints one line of JSON for each file: its name and what each validator says
// against it. Exits 1 if anything was said. "fhir" knows which elements are
// required and which codes a closed list has, the JSON schema which properties
// exist and what they look like; neither follows a reference or an invariant.
import { readFile } from "node:fs/promises";
import { createRequire } from "node:module";

const require = createRequire(import.meta.url);
const { Fhir } = require("fhir");
// @ts-ignore: the package comes without types.
const JSONSchemaValidator = require("@asymmetrik/fhir-json-schema-validator");

const files = process.argv.slice(2);
if (files.length === 0) {
  console.error("usage: node e2e/validate-fhir.mjs FILE...");
  process.exit(2);
}

const fhir = new Fhir();
const schema = new JSONSchemaValidator();
let faults = 0;
for (const file of files) {
  const resource = JSON.parse(await readFile(file, "utf8"));
  const said = [...byRules(resource), ...bySchema(resource)];
  faults += said.length;
  console.log(JSON.stringify({ file, said }));
}
process.exit(faults === 0 ? 0 : 1);

/**
 * Errors of the "fhir" validator. What it marks as information or warning (a
 * code system it does not carry) is no fault of the file.
 * @param {any} resource
 */
function byRules(resource) {
  const { messages } = fhir.validate(resource, { errorOnUnexpected: true });
  return messages
    .filter((m) => m.severity === "error" || m.severity === "fatal")
    .map((m) => `rules: ${m.location}: ${m.message}`);
}

/**
 * Errors by the JSON schema, each where it stands. A Bundle is checked entry by
 * entry, so that a fault is told of the resource it lies in.
 * @param {any} resource
 * @returns {string[]}
 */
function bySchema(resource) {
  const inside = resource.resourceType === "Bundle" ? (resource.entry ?? []).map((/** @type {any} */ e) => e.resource) : [];
  return [resource, ...inside].flatMap((r) => {
    const fits = (schema.validate(r, true) ?? []).length === 0;
    if (fits) return [];
    // Asked again for its own resource type only, it says where.
    const [first] = schema.validate(r);
    return [`schema: ${r.resourceType} ${r.id}: ${first.dataPath ?? first} ${first.message ?? ""}`];
  });
}
