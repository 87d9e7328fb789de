// What is said of one person, and how the words of the engine and of the
// product are compared.

/** What the engine says of each definition; anything but true is no. */
export function flags(said) {
  const yes = (name) => said[name] === true;
  return { initial: yes("Initial Population") && yes("Denominator"), excluded: yes("Denominator Exclusions"), met: yes("Numerator") };
}

/** The populations that follow: whoever is left out is not met. */
export function populations({ initial, excluded, met }) {
  return { initial, denominator: initial, excluded: initial && excluded, numerator: initial && !excluded && met };
}

/** The populations in a line of the product. */
export function fromLine(line) {
  const r = JSON.parse(line);
  return [r.patient, { initial: r["initial-population"], denominator: r.denominator, excluded: r["denominator-exclusion"], numerator: r.numerator }];
}

export const same = (a, b) => ["initial", "denominator", "excluded", "numerator"].every((name) => a[name] === b[name]);

/**
 * Whether populations lie between the least and the most that the published
 * logic leaves open: where the two agree it is decided, and must be followed.
 */
export function between(least, p, most) {
  const follows = (a, b) => !a || b;
  if (!follows(least.initial, p.initial) || !follows(p.initial, most.initial) || p.denominator !== p.initial) return false;
  if (!p.denominator) return !p.excluded && !p.numerator;
  if (!follows(least.excluded, p.excluded) || !follows(p.excluded, most.excluded)) return false;
  return p.excluded ? !p.numerator : follows(least.met, p.numerator) && follows(p.numerator, most.met);
}

/** In one short word. */
export function word(p) {
  if (!p) return "nobody";
  if (!p.initial) return "not counted";
  if (p.excluded) return "left out";
  return p.numerator ? "met" : "not met";
}
