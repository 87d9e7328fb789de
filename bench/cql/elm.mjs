// Builds expressions of ELM, the form in which quality logic is handed to an
// engine, with little functions in place of nested JSON. No rule of any measure
// stands here.

const FHIR = "http://hl7.org/fhir";
const SYSTEM = "urn:hl7-org:elm-types:r1";

const node = (type, fields) => ({ type, ...fields });
const unary = (type) => (operand) => node(type, { operand });
const list = (type) => (...operand) => operand.reduce((a, b) => node(type, { operand: [a, b] }));
const binary = (type) => (a, b) => node(type, { operand: [a, b] });
// timely compares times, down to the precision if one is named.
const timely = (type) => (a, b, precision) => node(type, { operand: [a, b], ...(precision && { precision }) });

// Three-valued logic: an operand may be unknown (null).
export const and = list("And");
export const or = list("Or");
export const not = unary("Not");
export const isNull = unary("IsNull");
export const isFalse = unary("IsFalse");
export const given = (x) => not(isNull(x));
/** True unless x is known to be false. */
export const unlessFalse = (x) => not(isFalse(x));
export const choose = (condition, then, otherwise) => node("If", { condition, then, else: otherwise });
export const coalesce = (...operand) => node("Coalesce", { operand });
export const exists = unary("Exists");

export const nothing = node("Null", {});
export const yes = node("Literal", { valueType: `{${SYSTEM}}Boolean`, value: "true" });
export const no = node("Literal", { valueType: `{${SYSTEM}}Boolean`, value: "false" });
export const text = (value) => node("Literal", { valueType: `{${SYSTEM}}String`, value });
export const whole = (n) => node("Literal", { valueType: `{${SYSTEM}}Integer`, value: String(n) });
export const oneOf = (x, words) => or(...words.map((w) => equal(x, text(w))));
export const equal = binary("Equal");

// Intervals. A missing end that is closed is the end of time; one that is open
// is unknown.
export const interval = (low, high, { lowClosed = true, highClosed = true } = {}) => node("Interval", { low, high, lowClosed, highClosed });
export const start = unary("Start");
export const end = unary("End");
export const overlaps = timely("Overlaps");
export const during = timely("IncludedIn");
export const within = binary("In");
export const notAfter = timely("SameOrBefore");
export const notBefore = timely("SameOrAfter");
export const dayOf = unary("DateFrom");
export const toDateTime = unary("ToDateTime");
export const add = binary("Add");
export const subtract = binary("Subtract");
export const quantity = (value, unit) => node("Quantity", { value, unit });
export const quantityOf = (value, unit) =>
  node("Instance", { classType: `{${SYSTEM}}Quantity`, element: [{ name: "value", value }, { name: "unit", value: text(unit) }] });
export const yearsOldOn = (birth, on) => node("CalculateAgeAt", { precision: "Year", operand: [birth, on] });

export const parameter = (name) => node("ParameterRef", { name });
export const ref = (name) => node("ExpressionRef", { name });
export const one = unary("SingletonFrom");
/** The element at a path of whatever a query calls by that name. */
export const at = (scope, path) => node("Property", { scope, path });
export const of = (source, path) => node("Property", { source, path });
/** What of a list (or one thing) meets a condition; duplicates stay. */
export const query = (alias, expression, where) =>
  node("Query", { source: [{ alias, expression }], relationship: [], where, return: { distinct: false, expression: node("AliasRef", { name: alias }) } });

/** Resources of a type, all or those whose code is in a value set. */
export function retrieve(type, codeProperty, set) {
  const fields = { dataType: `{${FHIR}}${type}`, templateId: `${FHIR}/StructureDefinition/${type}` };
  if (set) Object.assign(fields, { codeProperty, codes: set });
  return node("Retrieve", fields);
}
export const valueSet = (name) => node("ValueSetRef", { name });
/** A code that a measure names by itself, as a list of one. */
export const codeList = (name) => node("List", { element: [node("CodeRef", { name })] });
export const codeOf = (alias) =>
  node("Instance", {
    classType: `{${SYSTEM}}Code`,
    element: [{ name: "code", value: at(alias, "code.value") }, { name: "system", value: at(alias, "system.value") }],
  });
export const inSet = (code, name) => node("InValueSet", { code, valueset: { name } });
/** Any coding of the CodeableConcept at that place is in the set. */
export const anyCodingIn = (alias, path, name) => exists(query("coding", at(alias, `${path}.coding`), inSet(codeOf("coding"), name)));
/** The same where several CodeableConcepts stand at that place. */
export const anyConceptIn = (alias, path, name) => exists(query("concept", at(alias, path), exists(query("coding", at("concept", "coding"), inSet(codeOf("coding"), name)))));

/** A library of definitions, by name, over FHIR R4. */
export function library({ id, version, valueSets, codes, codeSystems, parameters, define }) {
  const defs = (object, make) => ({ def: Object.entries(object).map(([name, x]) => make(name, x)) });
  return {
    library: {
      identifier: { id, version },
      schemaIdentifier: { id: "urn:hl7-org:elm", version: "r1" },
      usings: { def: [{ localIdentifier: "System", uri: SYSTEM }, { localIdentifier: "FHIR", uri: FHIR, version: "4.0.1" }] },
      parameters: defs(parameters, (name, pointType) => ({
        name,
        accessLevel: "Public",
        parameterTypeSpecifier: { type: "IntervalTypeSpecifier", pointType: { type: "NamedTypeSpecifier", name: `{${SYSTEM}}${pointType}` } },
      })),
      codeSystems: defs(codeSystems, (name, uri) => ({ name, id: uri, accessLevel: "Public" })),
      valueSets: defs(valueSets, (name, oid) => ({ name, id: oid, accessLevel: "Public" })),
      codes: defs(codes, (name, c) => ({ name, id: c.code, accessLevel: "Public", codeSystem: { name: c.system } })),
      statements: defs(define, (name, expression) => ({ name, context: "Patient", accessLevel: "Public", expression })),
    },
  };
}
