// Diagnoses and amputations of made-up people.
import { conceptsOf, nearMisses, snomed } from "./codes.mjs";

const clinical = (code) => ({ coding: [{ system: "http://terminology.hl7.org/CodeSystem/condition-clinical", code }] });
const verified = (code) => ({ coding: [{ system: "http://terminology.hl7.org/CodeSystem/condition-ver-status", code }] });

/** Conditions of the diabetes set, and what looks like it. */
export function conditionsOf({ chance, times, sets }) {
  const concepts = conceptsOf(chance, sets);
  const wanted = chance.weighted([[80, ["sure"]], [15, ["odd"]], [5, []]]);
  if (chance.of(15)) wanted.push("odd");
  if (chance.of(10)) wanted.push("miss");
  return wanted.map((kind) => ({
    resourceType: "Condition",
    code: concepts.of(["Diabetes"], nearMisses.diabetes, kind === "miss" ? 100 : 4),
    ...(kind === "odd" ? { ...oddStatus(chance), ...oddDates(chance, times) } : { clinicalStatus: clinical("active"), verificationStatus: verified("confirmed"), onsetDateTime: times.past() }),
  }));
}

function oddStatus(chance) {
  const status = {};
  const word = chance.weighted([[40, "active"], [5, "recurrence"], [5, "relapse"], [8, "inactive"], [8, "remission"], [20, "resolved"], [4, undefined]]);
  if (word) status.clinicalStatus = clinical(word);
  const sure = chance.weighted([[50, "confirmed"], [8, "unconfirmed"], [6, "provisional"], [6, "differential"], [6, "refuted"], [6, "entered-in-error"], [18, undefined]]);
  if (sure) status.verificationStatus = verified(sure);
  return status;
}

function oddDates(chance, times) {
  const onset = chance.weighted([
    [35, () => ({ onsetDateTime: times.past() })],
    [35, () => ({ onsetDateTime: times.any() })],
    [5, () => ({ onsetPeriod: period(times.past(), times.any()) })],
    [8, () => ({ onsetAge: { value: chance.int(20, 74), unit: "years", system: "http://unitsofmeasure.org", code: "a" } })],
    [4, () => ({ onsetString: "as a young man" })],
    [13, () => ({})],
  ])();
  const abatement = chance.weighted([
    [50, () => ({})],
    [40, () => ({ abatementDateTime: times.any() })],
    [4, () => ({ abatementString: "years ago" })],
    [5, () => ({ abatementPeriod: period(times.past(), times.any()) })],
    [5, () => ({ abatementAge: { value: chance.int(40, 75), unit: "years", system: "http://unitsofmeasure.org", code: "a" } })],
  ])();
  return { ...onset, ...abatement };
}

const period = (start, end) => ({ start, end });

/** Amputations: whole sets, sides that come together or do not, and feet and toes, which are no legs. */
export function amputationsOf(world) {
  const { chance, times, sets } = world;
  if (!chance.of(28)) return [];
  const concepts = conceptsOf(chance, sets);
  const start = () => (chance.of(55) ? times.past() : times.any());
  const condition = (names, sites) => ({
    resourceType: "Condition",
    code: concepts.of(names, nearMisses.amputation, 4),
    ...(sites && { bodySite: sites }),
    ...(chance.of(75) ? { clinicalStatus: clinical(chance.pick(["active", "resolved", "inactive"])) } : oddStatus(chance)),
    ...chance.weighted([[90, () => ({ onsetDateTime: start() })], [5, () => ({})], [5, () => oddDates(chance, times)]])(),
    ...(chance.of(12) ? { abatementDateTime: times.any() } : {}),
  });
  const procedure = (names, sites) => ({
    resourceType: "Procedure",
    status: chance.weighted([[85, "completed"], [3, "in-progress"], [3, "not-done"], [3, "stopped"], [2, "preparation"], [2, "entered-in-error"], [2, "unknown"]]),
    code: concepts.of(names, nearMisses.amputation, 4),
    ...(sites && { bodySite: sites }),
    ...chance.weighted([[55, () => ({ performedDateTime: start() })], [35, () => ({ performedPeriod: period(start(), chance.of(80) ? times.any() : undefined) })], [5, () => ({ performedPeriod: period(undefined, times.any()) })], [5, () => ({})]])(),
  });
  const sites = (side) => {
    const right = chance.of(88);
    const list = [right ? concepts.concept(concepts.member(side)) : chance.weighted([[60, { coding: [chance.pick(nearMisses.site)] }], [40, { text: side }]])];
    if (chance.of(10)) list.push({ coding: [chance.pick([snomed("7771000"), snomed("24028007"), ...nearMisses.site])] });
    return list;
  };
  const oneSide = (side) =>
    chance.weighted([
      [30, () => condition([`${side} Unilateral Amputation Above or Below Knee`])],
      [20, () => procedure([`${side} Unilateral Amputation Procedure Above or Below Knee`])],
      [20, () => condition(["Unilateral Amputation Below or Above Knee, Unspecified Laterality"], chance.of(90) ? sites(side) : undefined)],
      [20, () => procedure(["Unilateral Amputation Procedure Below or Above Knee, Unspecified Laterality"], chance.of(90) ? sites(side) : undefined)],
      [10, () => condition([`${side} Unilateral Amputation Above or Below Knee`], sites(chance.pick(["Left", "Right"])))],
    ])();
  return chance.weighted([
    [20, () => [condition(["Bilateral amputation of leg below or above knee"])]],
    [60, () => [oneSide("Left"), oneSide("Right")]],
    [10, () => [oneSide(chance.pick(["Left", "Right"]))]],
    [10, () => [oneSide("Left"), oneSide("Left")]],
  ])();
}
