// CMS123v7, "Diabetes: Foot Exam", told again in our own words for an engine
// that knows nothing of this project: what the published logic asks of a
// person, read from FHIR R4 (reference, sections 1.3 to 1.9).
//
// Where the published logic leaves something undecided, or a record says a
// thing in a way that the logic does not look at, the product has a policy.
// Each is a switch here. With none set this is the published logic; with all
// set it must give the product's answer for everybody.
//
// It comes in two forms. "instants" compares times as CMS123v7 does. "days"
// compares calendar days, as the later editions of such measures do; the times
// it is given must be written in the practice's offset.
import {
  add, and, anyCodingIn, anyConceptIn, at, choose, coalesce, codeList, dayOf, during, end, exists, given, interval, isNull, library, no, not, notAfter,
  notBefore, nothing, of, one, oneOf, or, overlaps, parameter, quantity, quantityOf, query, ref, retrieve, start, subtract, toDateTime, unlessFalse, valueSet,
  whole, within, yearsOldOn, yes,
} from "./elm.mjs";

/** The policies, and what each does. The README gives the reasons. */
export const policies = {
  "vague-date": "a date without a clock time, or with one less fine than the edge of the period, is judged by the days it can mean",
  "undated-active": "an active amputation that has neither onset nor end has begun",
  "no-status": "a diagnosis with an onset, and with no word of an end or a clinical status, is going on",
  "result-in-parts": "an observation whose components have values has a result",
  "empty-result": "a value without content, such as a quantity without a number, and one beside a reason for its absence, is no result",
};

const visits = [
  "Office Visit",
  "Annual Wellness Visit",
  "Preventive Care Services - Established Office Visit, 18 and Up",
  "Preventive Care Services-Initial Office Visit, 18 and Up",
  "Home Healthcare Services",
];
// For each the set of diagnoses and the set of procedures.
const legs = {
  either: ["Unilateral Amputation Below or Above Knee, Unspecified Laterality", "Unilateral Amputation Procedure Below or Above Knee, Unspecified Laterality"],
  Left: ["Left Unilateral Amputation Above or Below Knee", "Left Unilateral Amputation Procedure Above or Below Knee"],
  Right: ["Right Unilateral Amputation Above or Below Knee", "Right Unilateral Amputation Procedure Above or Below Knee"],
};

/**
 * The measure as a library, in one of its forms. on names the policies that
 * hold. undecided is what a comparison of times counts as that the engine can
 * not decide: "no", as in every measure, or "yes", which bounds what could be.
 */
export function footExam(oids, { form = "instants", on = [], undecided = "no" } = {}) {
  const fine = { instants: undefined, days: "Day" }[form];
  const has = (policy) => on.includes(policy);
  const period = parameter("Measurement Period");
  const birth = of(ref("Patient"), "birthDate.value");

  const settled = { no: (comparison) => comparison, yes: unlessFalse }[undecided];
  const judged = (published, byDays) => (has("vague-date") ? byDays : settled(published));
  // By days: only what is certainly otherwise is otherwise.
  const perhapsNotOver = (day) => and(given(day), unlessFalse(notBefore(day, start(period), fine)));
  const perhapsBegun = (day) => and(given(day), unlessFalse(notAfter(day, end(period), fine)));

  const whollyIn = (from, to) => {
    const published = during(interval(from, to), period, fine);
    return judged(published, and(given(from), given(to), unlessFalse(published)));
  };

  // A time that is told by age lasts from one birthday to the next.
  const birthday = (age) => add(birth, quantityOf(age, "years"));
  const firstDayAt = (age) => choose(given(age), toDateTime(birthday(age)), nothing);
  const lastDayAt = (age) => choose(given(age), toDateTime(subtract(add(birthday(age), quantity(1, "year")), quantity(1, "day"))), nothing);

  const condition = (alias) => {
    const onset = coalesce(at(alias, "onsetDateTime.value"), at(alias, "onsetPeriod.start.value"), firstDayAt(at(alias, "onsetAge.value.value")));
    const over = coalesce(at(alias, "abatementDateTime.value"), at(alias, "abatementPeriod.end.value"), lastDayAt(at(alias, "abatementAge.value.value")));
    const active = anyCodingIn(alias, "clinicalStatus", "still there");
    const silent = and(not(anyCodingIn(alias, "clinicalStatus", "any status")), isNull(at(alias, "abatement")));
    const goingOn = has("no-status") ? or(active, and(silent, given(onset))) : active;
    // An end that is missing is none if it goes on, and unknown otherwise.
    const prevalence = choose(or(given(over), goingOn), interval(onset, over), interval(onset, over, { highClosed: false }));
    return { onset, over, active, goingOn, prevalence, counts: not(anyCodingIn(alias, "verificationStatus", "not so")) };
  };

  const hasDiabetes = () => {
    const { onset, over, active, goingOn, prevalence, counts } = condition("diagnosis");
    const there = judged(
      overlaps(prevalence, period, fine),
      and(
        or(isNull(onset), perhapsBegun(onset)),
        or(perhapsNotOver(over), and(isNull(over), or(goingOn, perhapsNotOver(onset)))),
        or(given(onset), given(over), active),
      ),
    );
    return exists(query("diagnosis", retrieve("Condition", "code", valueSet("Diabetes")), and(counts, there)));
  };

  const amputated = (set, site) => {
    const { onset, over, active, prevalence, counts } = condition("loss");
    const bySite = site ? anyConceptIn("loss", "bodySite", site) : yes;
    const undated = has("undated-active") ? and(isNull(onset), isNull(over), active) : no;
    const begun = judged(notAfter(start(prevalence), end(period), fine), or(perhapsBegun(onset), and(isNull(onset), given(over))));
    return exists(query("loss", retrieve("Condition", "code", valueSet(set)), and(counts, bySite, or(undated, begun))));
  };

  const performed = (alias) => {
    const spans = given(at(alias, "performedPeriod"));
    const from = choose(spans, at(alias, "performedPeriod.start.value"), at(alias, "performedDateTime.value"));
    const to = choose(spans, at(alias, "performedPeriod.end.value"), at(alias, "performedDateTime.value"));
    return { from, to, ever: or(spans, given(at(alias, "performedDateTime"))) };
  };
  const operated = (set, site) => {
    const { from, to, ever } = performed("loss");
    const bySite = site ? anyConceptIn("loss", "bodySite", site) : yes;
    const begun = judged(notAfter(start(interval(from, to)), end(period), fine), or(perhapsBegun(from), and(isNull(from), given(to))));
    return exists(query("loss", retrieve("Procedure", "code", valueSet(set)), and(oneOf(at("loss", "status.value"), ["completed"]), bySite, ever, begun)));
  };
  const legGone = (side) =>
    or(amputated(legs.either[0], side), operated(legs.either[1], side), amputated(legs[side][0]), operated(legs[side][1]));

  const visited = (set) =>
    exists(query("visit", retrieve("Encounter", "type", valueSet(set)),
      and(oneOf(at("visit", "status.value"), ["finished"]), whollyIn(at("visit", "period.start.value"), at("visit", "period.end.value")))));

  const dischargedToHospice = () => {
    const left = at("stay", "period.end.value");
    return exists(query("stay", retrieve("Encounter", "type", valueSet("Encounter Inpatient")),
      and(oneOf(at("stay", "status.value"), ["finished"]), anyCodingIn("stay", "hospitalization.dischargeDisposition", "to hospice"), whollyIn(left, left))));
  };
  const hospiceOrdered = () => {
    const written = at("order", "authoredOn.value");
    return exists(query("order", retrieve("ServiceRequest", "code", valueSet("Hospice care ambulatory")),
      and(oneOf(at("order", "status.value"), ["active", "completed"]), oneOf(at("order", "intent.value"), ["order"]),
        not(coalesce(at("order", "doNotPerform.value"), no)), whollyIn(written, written))));
  };
  const hospiceGiven = () => {
    const { from, to, ever } = performed("care");
    const there = judged(
      overlaps(interval(from, to), period, fine),
      and(or(isNull(from), perhapsBegun(from)), or(isNull(to), perhapsNotOver(to))),
    );
    return exists(query("care", retrieve("Procedure", "code", valueSet("Hospice care ambulatory")),
      and(oneOf(at("care", "status.value"), ["completed", "in-progress"]), ever, there)));
  };

  const filled = (alias) => {
    const value = given(at(alias, "value"));
    if (!has("empty-result")) return value;
    const content = ["Quantity.value", "String", "Boolean", "Integer", "DateTime", "Time"]
      .map((path) => or(isNull(at(alias, `value${path.replace(".value", "")}`)), given(at(alias, `value${path}.value`))));
    return and(value, ...content, isNull(at(alias, "dataAbsentReason")));
  };
  const hasResult = () => {
    if (!has("result-in-parts")) return filled("result");
    const silent = and(isNull(at("result", "value")), isNull(at("result", "dataAbsentReason")));
    return or(filled("result"), and(silent, exists(query("part", at("result", "component"), filled("part")))));
  };
  const assessed = (code) => {
    const point = coalesce(at("result", "effectiveDateTime.value"), at("result", "effectiveInstant.value"), at("result", "issued.value"));
    const spans = given(at("result", "effectivePeriod"));
    const from = choose(spans, at("result", "effectivePeriod.start.value"), point);
    const to = choose(spans, at("result", "effectivePeriod.end.value"), point);
    return exists(query("result", retrieve("Observation", "code", codeList(code)),
      and(oneOf(at("result", "status.value"), ["final", "amended", "corrected"]), hasResult(), whollyIn(from, to))));
  };

  const age = within(yearsOldOn(birth, dayOf(start(period))), interval(whole(18), whole(75), { highClosed: false }));
  return library({
    id: "FootExam",
    version: "7.5.000",
    parameters: { "Measurement Period": "DateTime" },
    codeSystems: { SNOMED: "http://snomed.info/sct" },
    valueSets: { ...oids, ...Object.fromEntries(Object.keys(ownSets).map((name) => [name, name])) },
    codes: {
      visual: { code: "401191002", system: "SNOMED" },
      monofilament: { code: "134388005", system: "SNOMED" },
      pulses: { code: "91161007", system: "SNOMED" },
    },
    define: {
      Patient: one(retrieve("Patient")),
      "Initial Population": and(settled(age), or(...visits.map(visited)), hasDiabetes()),
      Denominator: ref("Initial Population"),
      "Denominator Exclusions": or(dischargedToHospice(), hospiceOrdered(), hospiceGiven(),
        amputated("Bilateral amputation of leg below or above knee"), and(legGone("Left"), legGone("Right"))),
      Numerator: and(assessed("visual"), assessed("monofilament"), assessed("pulses")),
    },
  });
}

/** Codes of small sets that FHIR or the measure names one by one. */
export const ownSets = {
  "still there": words("http://terminology.hl7.org/CodeSystem/condition-clinical", "active recurrence relapse"),
  "any status": words("http://terminology.hl7.org/CodeSystem/condition-clinical", "active recurrence relapse inactive remission resolved"),
  "not so": words("http://terminology.hl7.org/CodeSystem/condition-ver-status", "refuted entered-in-error"),
  "to hospice": words("http://snomed.info/sct", "428361000124107 428371000124100"),
};

function words(system, codes) {
  return { 2018: codes.split(" ").map((code) => ({ code, system })) };
}
