// The places where the product and an engine could differ, one person each:
// what the change to an ordinary person is, and what the product, the published
// logic comparing instants (CMS123v7) and the one comparing days (its later
// editions) say of them, in UTC. Where the three differ a policy is named; where
// they agree there must be none.
import { icd10, snomed } from "./codes.mjs";

const clinical = (code) => ({ coding: [{ system: "http://terminology.hl7.org/CodeSystem/condition-clinical", code }] });
const verified = (code) => ({ coding: [{ system: "http://terminology.hl7.org/CodeSystem/condition-ver-status", code }] });
const concept = (...coding) => ({ coding });
const unknown = { coding: [{ system: "http://terminology.hl7.org/CodeSystem/data-absent-reason", code: "unknown" }] };

/** The base person of the reference, section 1.10: everything in order. */
export function ordinary() {
  const result = (code) => ({ resourceType: "Observation", status: "final", code: concept(snomed(code)), effectiveDateTime: "2018-05-10T15:10:00.000Z", valueString: "normal" });
  return {
    patient: { resourceType: "Patient", gender: "female", birthDate: "1960-06-15" },
    visit: { resourceType: "Encounter", status: "finished", class: { code: "AMB" }, type: [concept({ system: "http://www.ama-assn.org/go/cpt", code: "99213" })],
      period: { start: "2018-05-10T15:00:00.000Z", end: "2018-05-10T15:30:00.000Z" } },
    diabetes: { resourceType: "Condition", code: concept(icd10("E11.9")), clinicalStatus: clinical("active"), verificationStatus: verified("confirmed"), onsetDateTime: "2010-03-01" },
    visual: result("401191002"), filament: result("134388005"), pulses: result("91161007"),
    more: [],
  };
}

const on = (part, change) => (p) => Object.assign(p[part], change);
const without = (part, ...names) => (p) => names.forEach((name) => delete p[part][name]);
const examined = (at) => on("pulses", { effectiveDateTime: at });
const all = (...changes) => (p) => changes.forEach((c) => c(p));
const adding = (...more) => (p) => p.more.push(...more);
const leg = (code, rest) => ({ resourceType: "Condition", code: concept(icd10(code)), clinicalStatus: clinical("active"), ...rest });
const hospice = (rest) => ({ resourceType: "Procedure", status: "completed", code: concept(snomed("385763009")), ...rest });
const order = (rest) => ({ resourceType: "ServiceRequest", status: "active", intent: "order", code: concept(snomed("385763009")), authoredOn: "2018-03-01T10:00:00.000Z", ...rest });
const stay = (period) => ({ resourceType: "Encounter", status: "finished", class: { code: "IMP" }, type: [concept(snomed("183452005"))], period,
  hospitalization: { dischargeDisposition: concept(snomed("428361000124107")) } });

// agreed: all three say the same. differs: product, instants, days, and why.
const agreed = (says, word, change) => ({ says, change, ours: word, instants: word, days: word });
const differs = (policy, says, [ours, instants, days], change) => ({ says, change, ours, instants, days, policy });

export const situations = [
  agreed("everything in order", "met", () => {}),

  // The edges of the period.
  agreed("an exam in the first thousandth of the year", "met", examined("2018-01-01T00:00:00.000Z")),
  agreed("in the last thousandth", "met", examined("2018-12-31T23:59:59.999Z")),
  agreed("in the first thousandth of the next year", "not met", examined("2019-01-01T00:00:00.000Z")),
  agreed("in the old year where it was written, in the new one here", "met", examined("2017-12-31T23:30:00.000-05:00")),
  agreed("in the new year where it was written, in the old one here", "not met", examined("2018-01-01T04:00:00.000+05:30")),
  agreed("a visit that runs to the first thousandth of the next year", "not counted", on("visit", { period: { start: "2018-12-31T23:00:00.000Z", end: "2019-01-01T00:00:00.000Z" } })),
  agreed("a visit without an end", "not counted", on("visit", { period: { start: "2018-05-10T15:00:00.000Z" } })),
  agreed("a visit without a start", "not counted", on("visit", { period: { end: "2018-05-10T15:00:00.000Z" } })),
  agreed("a visit without a period", "not counted", without("visit", "period")),
  agreed("a visit under way that has an end", "not counted", on("visit", { status: "in-progress" })),

  // Dates that are less than a time.
  differs("vague-date", "an exam on the first day, without a time", ["met", "not met", "met"], examined("2018-01-01")),
  differs("vague-date", "an exam on the last day, without a time", ["met", "not met", "met"], examined("2018-12-31")),
  differs("vague-date", "an exam on the last second, without thousandths", ["met", "not met", "met"], examined("2018-12-31T23:59:59Z")),
  differs("vague-date", "an exam in January", ["met", "not met", "not met"], examined("2018-01")),
  differs("vague-date", "an exam in the year", ["met", "not met", "not met"], examined("2018")),
  differs("vague-date", "diabetes since the last day, without a time", ["met", "not counted", "met"], on("diabetes", { onsetDateTime: "2018-12-31" })),
  differs("vague-date", "diabetes since the year", ["met", "not counted", "not counted"], on("diabetes", { onsetDateTime: "2018" })),
  agreed("an exam on a day in the middle, without a time", "met", examined("2018-05-10")),
  agreed("an exam in May", "met", examined("2018-05")),
  agreed("an exam in the December before", "not met", examined("2017-12")),
  agreed("born in 1943: 74 or 75", "not counted", on("patient", { birthDate: "1943" })),
  agreed("born in 1960", "met", on("patient", { birthDate: "1960" })),
  agreed("born nobody knows when", "not counted", without("patient", "birthDate")),

  // When a diagnosis is there.
  agreed("active diabetes without a date", "met", without("diabetes", "onsetDateTime")),
  agreed("resolved, nobody knows when, since 2010", "not counted", on("diabetes", { clinicalStatus: clinical("resolved") })),
  agreed("resolved, nobody knows when, begun in the year", "met", on("diabetes", { clinicalStatus: clinical("resolved"), onsetDateTime: "2018-03-01T00:00:00.000Z" })),
  agreed("resolved in the year, begun nobody knows when", "met", all(without("diabetes", "onsetDateTime"), on("diabetes", { clinicalStatus: clinical("resolved"), abatementDateTime: "2018-06-01" }))),
  agreed("resolved before the year, begun nobody knows when", "not counted", all(without("diabetes", "onsetDateTime"), on("diabetes", { clinicalStatus: clinical("resolved"), abatementDateTime: "2017-06-01" }))),
  agreed("active, and ended before the year", "not counted", on("diabetes", { abatementDateTime: "2017-06-01" })),
  differs("no-status", "since 2010, and nothing says whether it is active", ["met", "not counted", "not counted"], without("diabetes", "clinicalStatus")),
  agreed("begun in the year, and nothing says whether it is active", "met", all(without("diabetes", "clinicalStatus"), on("diabetes", { onsetDateTime: "2018-03-01" }))),
  agreed("since 2010, over in words alone, and nothing says whether it is active", "not counted", all(without("diabetes", "clinicalStatus"), on("diabetes", { abatementString: "years ago" }))),
  agreed("since the age of 40", "met", all(without("diabetes", "onsetDateTime"), on("diabetes", { onsetAge: { value: 40, unit: "years", code: "a" } }))),
  agreed("refuted", "not counted", on("diabetes", { verificationStatus: verified("refuted") })),
  agreed("entered in error", "not counted", on("diabetes", { verificationStatus: verified("entered-in-error") })),
  agreed("a differential diagnosis", "met", on("diabetes", { verificationStatus: verified("differential") })),

  // Codes.
  agreed("the bare category E11", "not counted", on("diabetes", { code: concept(icd10("E11")) })),
  agreed("the member of the set stands second", "met", on("diabetes", { code: concept(snomed("73211009"), icd10("E11.9")) })),
  agreed("a visit of two types, the second qualifies", "met", (p) => p.visit.type.unshift({ text: "follow-up" })),
  agreed("the right number of the wrong system", "not counted", on("diabetes", { code: concept(snomed("E11.9")) })),
  differs("spelling", "E119, without the dot", ["met", "not counted", "not counted"], on("diabetes", { code: concept(icd10("E119")) })),
  differs("spelling", "e11.9", ["met", "not counted", "not counted"], on("diabetes", { code: concept(icd10("e11.9")) })),
  differs("spelling", "the system told by its OID", ["met", "not counted", "not counted"], on("diabetes", { code: concept({ system: "urn:oid:2.16.840.1.113883.6.90", code: "E11.9" }) })),

  // Results.
  agreed("the number 0", "met", (p) => { delete p.pulses.valueString; p.pulses.valueInteger = 0; }),
  agreed("no result", "not met", without("pulses", "valueString")),
  agreed("a reason for its absence", "not met", all(without("pulses", "valueString"), on("pulses", { dataAbsentReason: unknown }))),
  differs("empty-result", "a reason for its absence, and a result", ["not met", "met", "met"], on("pulses", { dataAbsentReason: unknown })),
  differs("empty-result", "a quantity without a number", ["not met", "met", "met"], all(without("pulses", "valueString"), on("pulses", { valueQuantity: { unit: "pulses" } }))),
  differs("empty-result", "a text of which only its absence is told", ["not met", "met", "met"], all(without("pulses", "valueString"), on("pulses", { _valueString: { extension: [{ url: "http://hl7.org/fhir/StructureDefinition/data-absent-reason", valueCode: "masked" }] } }))),
  differs("result-in-parts", "the results stand in the components", ["met", "not met", "not met"], all(without("pulses", "valueString"), on("pulses", { component: [{ code: { text: "left" }, valueString: "felt" }] }))),
  agreed("an observation of something else with a component of the code", "not met", on("pulses", { code: { text: "feet" }, component: [{ code: concept(snomed("91161007")), valueString: "felt" }] })),
  agreed("not final", "not met", on("pulses", { status: "preliminary" })),
  agreed("amended", "met", on("pulses", { status: "amended" })),
  agreed("an exam from one year into the next", "not met", all(without("pulses", "effectiveDateTime"), on("pulses", { effectivePeriod: { start: "2018-12-31T23:00:00.000Z", end: "2019-01-01T01:00:00.000Z" } }))),
  agreed("an exam whose end nobody wrote down", "not met", all(without("pulses", "effectiveDateTime"), on("pulses", { effectivePeriod: { start: "2018-05-10T15:00:00.000Z" } }))),
  agreed("an exam of which only the issue is dated", "met", all(without("pulses", "effectiveDateTime"), on("pulses", { issued: "2018-05-10T15:00:00.000Z" }))),
  agreed("an exam of the year before, issued in the year", "not met", on("pulses", { effectiveDateTime: "2017-12-30", issued: "2018-01-02T09:00:00.000Z" })),

  // Amputations.
  agreed("both legs, one code a side", "left out", adding(leg("Z89.511", { onsetDateTime: "2015" }), leg("Z89.612", { onsetDateTime: "2016-02-01" }))),
  agreed("both legs, resolved long ago", "left out", adding(...["Z89.511", "Z89.512"].map((c) => leg(c, { onsetDateTime: "2015", abatementDateTime: "2016-01-01", clinicalStatus: clinical("resolved") })))),
  agreed("no start, and a known end", "left out", adding(...["Z89.511", "Z89.512"].map((c) => leg(c, { abatementDateTime: "2020-01-01", clinicalStatus: clinical("resolved") })))),
  differs("undated-active", "both legs, active, without a date", ["left out", "met", "met"], adding(leg("Z89.511"), leg("Z89.512"))),
  differs("vague-date", "the second leg on the last day, without a time", ["left out", "met", "left out"], adding(leg("Z89.511", { onsetDateTime: "2015" }), leg("Z89.612", { onsetDateTime: "2018-12-31" }))),
  agreed("both feet", "met", adding(leg("Z89.431", { onsetDateTime: "2015" }), leg("Z89.432", { onsetDateTime: "2015" }))),
  agreed("operations without a date", "met", adding(...["721060009", "721059004"].map((c) => ({ resourceType: "Procedure", status: "completed", code: concept(snomed(c)) })))),
  agreed("a body structure for a side", "met", adding(...["48979004", "32153003"].map((site) => ({ resourceType: "Procedure", status: "completed", code: concept(snomed("88312006")), bodySite: [concept(snomed(site))], performedDateTime: "2015" })))),

  // Hospice.
  agreed("care since 2016 without an end", "left out", adding(hospice({ performedPeriod: { start: "2016-03-01" } }))),
  agreed("care without a start that ended in the year", "left out", adding(hospice({ performedPeriod: { end: "2018-03-01" } }))),
  agreed("care that ended the day before", "met", adding(hospice({ performedPeriod: { start: "2016-03-01", end: "2017-12-31" } }))),
  agreed("care without any time", "met", adding(hospice({}))),
  agreed("care under way", "left out", adding(hospice({ status: "in-progress", performedPeriod: { start: "2018-03-01" } }))),
  agreed("care that was never begun", "met", adding(hospice({ status: "preparation", performedPeriod: { start: "2018-03-01" } }))),
  agreed("a stay that began before and ended in the year", "left out", adding(stay({ start: "2017-12-28T10:00:00.000Z", end: "2018-01-01T10:00:00.000Z" }))),
  agreed("a stay without an end", "met", adding(stay({ start: "2018-03-01T10:00:00.000Z" }))),
  agreed("an order", "left out", adding(order({}))),
  agreed("an order that is a plan", "met", adding(order({ intent: "plan" }))),
  agreed("an order of a kind below the plain one", "met", adding(order({ intent: "filler-order" }))),
  agreed("an order not to", "met", adding(order({ doNotPerform: true }))),
  agreed("an order without a date", "met", adding(order({ authoredOn: undefined }))),
];

/** The resources of a situation, about a person with that id. */
export function resourcesOf(situation, id) {
  const person = ordinary();
  situation.change(person);
  const { patient, more, ...facts } = person;
  return [{ ...patient, id }, ...[...Object.values(facts), ...more].map((fact, i) => ({ ...fact, id: `${id}-${i}`, subject: { reference: `Patient/${id}` } }))];
}
