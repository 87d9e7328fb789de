// Chance from a seed: the same seed gives the same people on every machine.

/** A source of chance (mulberry32, a public-domain generator of 32 bits). */
export function chanceFrom(seed) {
  let state = seed >>> 0;
  const next = () => {
    state = (state + 0x6d2b79f5) >>> 0;
    let t = state;
    t = Math.imul(t ^ (t >>> 15), t | 1);
    t ^= t + Math.imul(t ^ (t >>> 7), t | 61);
    return ((t ^ (t >>> 14)) >>> 0) / 4294967296;
  };
  return {
    /** True in so many of a hundred cases. */
    of: (percent) => next() * 100 < percent,
    /** A whole number from low to high, both included. */
    int: (low, high) => low + Math.floor(next() * (high - low + 1)),
    pick: (list) => list[Math.floor(next() * list.length)],
    /** One of the values of [weight, value] pairs. */
    weighted(pairs) {
      let left = next() * pairs.reduce((sum, [w]) => sum + w, 0);
      for (const [w, value] of pairs) {
        left -= w;
        if (left < 0) return value;
      }
      return pairs.at(-1)[1];
    },
  };
}
