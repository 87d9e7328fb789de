// Reads the 96 boundary cases of the reference (section 1.10), which were run
// through the published logic in its own data model, and writes them as FHIR.
import { readFileSync } from "node:fs";
import { join } from "node:path";
import { icd10, snomed } from "./codes.mjs";
import { shared } from "./sets.mjs";

const systems = { S: snomed, I: icd10, C: (code) => ({ system: "http://www.ama-assn.org/go/cpt", code }), H: (code) => ({ system: "https://www.cms.gov/Medicare/Coding/HCPCSReleaseCodeSets", code }) };
const clinical = (code) => ({ coding: [{ system: "http://terminology.hl7.org/CodeSystem/condition-clinical", code }] });

/** The cases: id, note, resources, and what was found and is expected. */
export function referenceCases() {
  const [head, ...lines] = readFileSync(join(shared, "reference", "codes", "cms123v7-check-cases.csv"), "utf8").trim().split("\n");
  const names = head.split(",");
  return lines.map((line) => {
    const row = Object.fromEntries(names.map((name, i) => [name, i < names.length - 1 ? line.split(",")[i] : line.split(",").slice(i).join(",")]));
    const judged = (who) => populationsOf(row[`${who}_ipp`] === "1", row[`${who}_denex`] === "1", row[`${who}_numer`] === "1");
    const facts = row.events.split(" ; ").filter(Boolean).map((event, i) => ({ ...resource(event.split(" ")), id: `${row.case}-${i}`, subject: { reference: `Patient/${row.case}` } }));
    const patient = { resourceType: "Patient", id: row.case, gender: "unknown", birthDate: row.birth.slice(0, 10) };
    return { id: row.case, note: row.note, resources: [patient, ...facts], found: judged("engine"), expected: judged("expect") };
  });
}

const populationsOf = (initial, excluded, numerator) => ({ initial, denominator: initial, excluded, numerator });

const concept = (text) => ({ coding: [systems[text[0]](text.slice(2))] });
// The engine takes a time without thousandths for one of several.
const time = (text) => (text === "-" ? undefined : text.replace(/(T\d\d:\d\d)(?=Z|[+-])/, "$1:00.000"));

function resource([kind, code, from, ...rest]) {
  const option = Object.fromEntries(rest.filter((x) => x.includes("=")).map((x) => x.split(/=(.*)/s)));
  const start = time(from);
  const end = rest[0] && !rest[0].includes("=") ? time(rest[0]) : undefined;
  const site = option.site && { bodySite: [concept(option.site)] };
  switch (kind) {
    case "ENC":
      return { resourceType: "Encounter", status: "finished", class: { code: "AMB" }, type: [concept(code)], period: { start, end },
        ...(option.disp && { hospitalization: { dischargeDisposition: concept(option.disp) } }) };
    case "DX":
      return { resourceType: "Condition", code: concept(code), clinicalStatus: clinical(end ? "resolved" : "active"), onsetDateTime: start, abatementDateTime: end, ...site };
    case "PROC":
    case "INT":
      return { resourceType: "Procedure", status: end ? "completed" : "in-progress", code: concept(code), performedPeriod: { start, end }, ...site };
    case "ORD":
      return { resourceType: "ServiceRequest", status: "active", intent: "order", code: concept(code), authoredOn: start };
    case "ASM":
      return { resourceType: "Observation", status: "final", code: concept(code), effectiveDateTime: start, ...result(option) };
  }
  throw new Error(`unknown event ${kind}`);
}

function result({ res, neg }) {
  if (neg || res === "-") return { dataAbsentReason: { text: neg ? "refused" : "unknown" } };
  if (res.startsWith("S:")) return { valueCodeableConcept: concept(res) };
  return res.startsWith("n:") ? { valueQuantity: { value: Number(res.slice(2)) } } : { valueString: res.slice(2) };
}
