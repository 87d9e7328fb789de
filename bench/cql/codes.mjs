// Codes for made-up people: members of the published sets, and near misses.
import { codesOf } from "./sets.mjs";

export const snomed = (code) => ({ system: "http://snomed.info/sct", code });
export const icd10 = (code) => ({ system: "http://hl7.org/fhir/sid/icd-10-cm", code });
const cpt = (code) => ({ system: "http://www.ama-assn.org/go/cpt", code });
const hcpcs = (code) => ({ system: "https://www.cms.gov/Medicare/Coding/HCPCSReleaseCodeSets", code });
const local = (code) => ({ system: "https://clinic.example/codes", code });

/** Codes that a careless reader would take for members of a set (reference, sections 1.5 to 1.8). */
export const nearMisses = {
  visit: [cpt("99211"), cpt("99441"), cpt("99443"), cpt("99281"), hcpcs("G0402"), snomed("185349003"), snomed("185345009"), snomed("99213"), hcpcs("99213"), cpt("G0438"), local("99213"), snomed("183452005")],
  diabetes: ["E08.42", "E09.9", "O24.410", "O24.919", "R73.03", "E11", "E10", "E13", "E10.A2", "Z83.3", "E11.3"].map(icd10)
    .concat(["73211009", "368581000119106", "15777000", "5368009", "8801005"].map(snomed), [local("E11.9"), snomed("E11.9")]),
  amputation: ["Z89.511D", "Z89.519", "Z89.529", "Z89.619", "Z89.421", "Z89.422", "Z89.431", "Z89.432", "Z89.441", "S98.011A", "S98.012A", "S88.911A"].map(icd10),
  site: ["48979004", "32153003", "62175007", "51440002"].map(snomed),
  hospice: [snomed("170935008"), snomed("170936009"), snomed("103735009"), icd10("Z51.5"), local("385763009")],
  disposition: [snomed("306689006"), snomed("306701001"), { system: "http://terminology.hl7.org/CodeSystem/discharge-disposition", code: "hosp" }],
  assessment: [cpt("2028F"), snomed("401193004"), snomed("134390006"), snomed("301155005"), local("91161007")],
};

/** Makes CodeableConcepts. */
export function conceptsOf(chance, sets) {
  const member = (...names) => chance.pick(names.flatMap((name) => codesOf(sets, name)));
  const spelled = (coding) => {
    if (!chance.of(0.6)) return coding;
    if (coding.system === icd10("").system) {
      return chance.pick([{ ...coding, code: coding.code.replace(".", "") }, { ...coding, code: coding.code.toLowerCase() }, { ...coding, system: "urn:oid:2.16.840.1.113883.6.90" }]);
    }
    if (coding.system === snomed("").system) return { ...coding, system: "urn:oid:2.16.840.1.113883.6.96" };
    return coding;
  };
  // Alone, or among others that mean nothing here, in any place.
  const concept = (coding) => {
    const all = [spelled(coding)];
    if (chance.of(10)) all.push(chance.pick([local("x1"), snomed("55607006"), icd10("I10")]));
    if (chance.of(5)) all.unshift(chance.pick([local("x2"), { code: coding.code }, { system: "http://loinc.org", code: "11450-4" }]));
    return { coding: all, ...(chance.of(20) ? { text: "as written in the chart" } : {}) };
  };
  return {
    member,
    /** A concept of a set, or in so many of a hundred cases a near miss. */
    of: (names, misses, percent) => (chance.of(percent) ? chance.weighted([[95, () => concept(chance.pick(misses))], [5, () => ({ text: "only words" })]])() : concept(member(...names))),
    concept,
  };
}
