// Visits, hospice care and foot assessments of made-up people.
import { conceptsOf, nearMisses, snomed } from "./codes.mjs";

const visitSets = [
  "Office Visit",
  "Annual Wellness Visit",
  "Preventive Care Services - Established Office Visit, 18 and Up",
  "Preventive Care Services-Initial Office Visit, 18 and Up",
  "Home Healthcare Services",
];

function times2period(start, end) {
  return { period: { ...(start && { start }), ...(end && { end }) } };
}

/** Visits: one that counts for most people, and others. */
export function visitsOf({ chance, times, sets }) {
  const concepts = conceptsOf(chance, sets);
  const kinds = chance.weighted([[62, ["good"]], [32, ["odd"]], [4, ["good", "good"]], [2, []]]);
  if (chance.of(25)) kinds.push("odd");
  if (chance.of(10)) kinds.push("miss");
  return kinds.map((kind) => {
    const type = [concepts.of(visitSets, nearMisses.visit, { good: 2, odd: 10, miss: 100 }[kind])];
    if (chance.of(10)) type.unshift({ text: "follow-up" });
    if (chance.of(10)) type.push({ coding: [chance.pick(nearMisses.visit)] });
    return {
      resourceType: "Encounter",
      status: kind === "odd" ? chance.weighted([[80, "finished"], [4, "cancelled"], [4, "entered-in-error"], [3, "planned"], [3, "in-progress"], [2, "arrived"], [2, "triaged"], [1, "onleave"], [1, "unknown"]]) : "finished",
      class: { system: "http://terminology.hl7.org/CodeSystem/v3-ActCode", code: chance.pick(["AMB", "AMB", "HH", "VR", "IMP", "EMER"]) },
      type,
      ...(kind === "odd" ? oddPeriod(chance, times) : times2period(...times.goodSpan())),
      ...(chance.of(2) ? { hospitalization: { dischargeDisposition: { coding: [snomed("428361000124107")] } } } : {}),
    };
  });
}

function oddPeriod(chance, times) {
  const [from, to] = times.span();
  return chance.weighted([
    [66, () => times2period(from, to)],
    [9, () => times2period(from, undefined)],
    [5, () => times2period(undefined, to)],
    [3, () => ({})],
    [12, () => { const day = times.any(); return times2period(day, day); }],
    [3, () => times2period(times.any(), times.any())],
    [2, () => times2period(to, from)],
  ])();
}

/** Hospice: a discharge, an order or care, and what looks like them. */
export function hospiceOf({ chance, times, sets }) {
  if (!chance.of(14)) return [];
  const concepts = conceptsOf(chance, sets);
  const hospice = concepts.of(["Hospice care ambulatory"], nearMisses.hospice, 10);
  return [chance.weighted([
    [35, () => ({
      resourceType: "Encounter",
      status: chance.weighted([[90, "finished"], [5, "in-progress"], [5, "cancelled"]]),
      class: { system: "http://terminology.hl7.org/CodeSystem/v3-ActCode", code: "IMP" },
      type: [concepts.of(["Encounter Inpatient"], nearMisses.visit, 8)],
      ...(chance.of(30) ? times2period(chance.of(80) ? times.past() : undefined, times.any()) : oddPeriod(chance, times)),
      ...(chance.of(95) && { hospitalization: { dischargeDisposition: concepts.concept(chance.of(80) ? snomed(chance.pick(["428361000124107", "428371000124100"])) : chance.pick(nearMisses.disposition)) } }),
    })],
    [30, () => ({
      resourceType: "ServiceRequest",
      status: chance.weighted([[45, "active"], [35, "completed"], [4, "draft"], [4, "on-hold"], [5, "revoked"], [4, "entered-in-error"], [3, "unknown"]]),
      intent: chance.weighted([[80, "order"], [3, "proposal"], [3, "plan"], [2, "directive"], [3, "original-order"], [2, "reflex-order"], [2, "filler-order"], [2, "instance-order"], [3, "option"]]),
      ...(chance.of(8) && { doNotPerform: chance.of(60) }),
      code: hospice,
      ...(chance.of(96) && { authoredOn: chance.of(40) ? times.good() : times.any() }),
      occurrenceDateTime: times.good(),
    })],
    [35, () => ({
      resourceType: "Procedure",
      status: chance.weighted([[50, "completed"], [30, "in-progress"], [4, "preparation"], [4, "not-done"], [4, "on-hold"], [4, "stopped"], [4, "entered-in-error"]]),
      code: hospice,
      ...chance.weighted([
        [25, () => ({ performedDateTime: chance.of(50) ? times.good() : times.any() })],
        [30, () => ({ performedPeriod: { start: times.past(), end: times.any() } })],
        [20, () => ({ performedPeriod: { start: times.any() } })],
        [12, () => ({ performedPeriod: { start: times.any(), end: times.any() } })],
        [8, () => ({ performedPeriod: { end: times.any() } })],
        [5, () => ({})],
      ])(),
    })],
  ])()];
}

/** The three assessments: mostly done, some on the edge, some without a result. */
export function resultsOf({ chance, times, sets }) {
  const concepts = conceptsOf(chance, sets);
  const results = [];
  for (const code of ["401191002", "134388005", "91161007"]) {
    const kinds = chance.weighted([[74, ["good"]], [18, ["odd"]], [4, ["good", "odd"]], [4, []]]);
    if (chance.of(5)) kinds.push("miss");
    for (const kind of kinds) {
      results.push({
        resourceType: "Observation",
        code: concepts.concept(kind === "miss" ? chance.pick(nearMisses.assessment) : snomed(code)),
        ...(kind === "odd"
          ? { status: chance.weighted([[76, "final"], [4, "amended"], [4, "corrected"], [4, "preliminary"], [3, "registered"], [3, "cancelled"], [4, "entered-in-error"], [2, "unknown"]]), ...oddTime(chance, times), ...oddResult(chance) }
          : { status: chance.pick(["final", "final", "final", "amended", "corrected"]), effectiveDateTime: times.good(), ...goodResult(chance) }),
      });
    }
  }
  return results;
}

function oddTime(chance, times) {
  return chance.weighted([
    [60, () => ({ effectiveDateTime: times.any(), ...(chance.of(20) && { issued: instant(times) }) })],
    [6, () => ({ effectiveInstant: instant(times) })],
    [6, () => ({ issued: instant(times) })],
    [14, () => { const [start, end] = times.span(); return { effectivePeriod: { start, end } }; }],
    [3, () => ({ effectivePeriod: { start: times.any() } })],
    [3, () => ({ effectivePeriod: { end: times.any() } })],
    [6, () => ({ effectiveDateTime: times.good() })],
    [2, () => ({})],
  ])();
}

// An instant of FHIR has at least seconds: no vague one.
function instant(times) {
  for (;;) {
    const text = times.any();
    if (text.length > 10) return text;
  }
}

function goodResult(chance) {
  return chance.pick([
    { valueCodeableConcept: { coding: [snomed("17621005")] } }, { valueCodeableConcept: { coding: [snomed("263654008")] } }, { valueCodeableConcept: { text: "both feet fine" } },
    { valueString: "normal" }, { valueBoolean: false }, { valueBoolean: true }, { valueInteger: 0 }, { valueQuantity: { value: 0, unit: "sites" } },
    { valueQuantity: { value: 8, comparator: ">=", unit: "sites" } }, { valueDateTime: "2018-05" }, { valueRange: { low: { value: 1 } } },
  ]);
}

function oddResult(chance) {
  const absent = { coding: [{ system: "http://terminology.hl7.org/CodeSystem/data-absent-reason", code: chance.pick(["unknown", "not-performed", "asked-declined"]) }] };
  const part = (value) => ({ code: { text: "left foot" }, ...value });
  return chance.weighted([
    [68, () => goodResult(chance)],
    [10, () => ({})],
    [10, () => ({ dataAbsentReason: absent })],
    [3, () => ({ component: [part({}), part(goodResult(chance))] })],
    [2, () => ({ component: [part({ dataAbsentReason: absent }), part({})] })],
    [2, () => ({ dataAbsentReason: absent, component: [part(goodResult(chance))] })],
    [2, () => ({ component: [{ code: { coding: [snomed("91161007")] }, ...goodResult(chance) }] })],
    [1, () => ({ valueQuantity: { unit: "sites" } })],
    [1, () => ({ _valueString: { extension: [{ url: "http://hl7.org/fhir/StructureDefinition/data-absent-reason", valueCode: "masked" }] } })],
    [1, () => ({ ...goodResult(chance), dataAbsentReason: absent })],
  ])();
}
