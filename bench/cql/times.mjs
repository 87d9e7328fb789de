// Times for made-up people: plain ones, and those on which a measure can err.
// The year is that of the practice's zone.

const second = 1000;
const hour = 3600 * second;
const day = 24 * hour;

/** The three zones: their name, the offset in hours at both ends of 2018, and a zone of that fixed offset for the engine's process. */
export const zones = [
  { name: "UTC", offset: 0, fixed: "UTC" },
  { name: "America/New_York", offset: -5, fixed: "Etc/GMT+5" },
  { name: "Asia/Kolkata", offset: 5.5, fixed: "Asia/Kolkata" },
];

/** Makes times around 2018 in a zone. Every one is the text of a FHIR dateTime. */
export function timesOf(chance, { offset }) {
  const first = Date.UTC(2018, 0, 1) - offset * hour;
  const after = Date.UTC(2019, 0, 1) - offset * hour;
  const offsets = [offset * 60, 0, 330, 345, -300, 840, -720];

  const write = (ms) => {
    const minutes = chance.of(60) ? offset * 60 : chance.pick(offsets);
    const local = new Date(ms + minutes * 60 * second).toISOString();
    const sign = minutes < 0 ? "-" : "+";
    const two = (n) => String(Math.floor(n)).padStart(2, "0");
    const zone = minutes === 0 && chance.of(80) ? "Z" : `${sign}${two(Math.abs(minutes) / 60)}:${two(Math.abs(minutes) % 60)}`;
    const fraction = ms % second !== 0 || chance.of(50) ? local.slice(19, 23) : "";
    return local.slice(0, 19) + fraction + zone;
  };
  const edge = () => chance.pick([first, after]);
  const any = (low, high) => chance.int(low / second, high / second) * second;

  const kinds = {
    inside: () => any(first, after - second),
    // On the very edge, and one thousandth or one second beside it.
    sharp: () => edge() + chance.pick([-second, -1, 0, 1, second]),
    // Near enough that another zone calls it another year.
    near: () => edge() + chance.int(-15 * 60, 15 * 60) * 60 * second,
    before: () => any(first - 900 * day, first - day),
    later: () => any(after + day, after + 300 * day),
  };
  const vague = {
    day: () => chance.pick(["2017-12-31", "2018-01-01", "2018-12-31", "2019-01-01", `2018-${chance.pick(["02", "07", "11"])}-${chance.int(10, 28)}`]),
    month: () => chance.pick(["2017-12", "2018-01", "2018-06", "2018-12", "2019-01"]),
    year: () => chance.pick(["2016", "2017", "2018", "2019"]),
  };
  const odd = [[40, "sharp"], [30, "near"], [12, "before"], [10, "later"], [5, "day"], [2, "month"], [1, "year"]];

  return {
    write,
    /** A time inside the year that leaves no doubt. */
    good: () => write(kinds.inside()),
    /** Any time, with an eye for the edges. */
    any: () => {
      const kind = chance.weighted(odd);
      return kind in vague ? vague[kind]() : write(kinds[kind]());
    },
    /** Some time long before the year. */
    past: () => chance.weighted([[50, () => write(any(first - 9000 * day, first - 400 * day))], [35, () => `20${chance.int(10, 16)}-0${chance.int(1, 9)}-${chance.int(10, 28)}`], [10, () => `20${chance.int(10, 16)}-0${chance.int(1, 9)}`], [5, () => `20${chance.int(10, 16)}`]])(),
    /** Start and end of something that took a while. */
    goodSpan: () => {
      const from = any(first, after - 2 * hour);
      return [write(from), write(from + chance.int(1, 90) * 60 * second)];
    },
    span: () => {
      const kind = chance.weighted([[30, "sharp"], [20, "near"], [14, "inside"], [8, "before"], [8, "later"], [20, "across"]]);
      if (kind === "across") {
        const at = edge();
        return [write(at - chance.int(1, 90) * 60 * second), write(at + chance.int(0, 90) * 60 * second)];
      }
      const from = kinds[kind]();
      return [write(from), write(from + chance.pick([0, 1, second, 20 * 60 * second, 3 * day]))];
    },
  };
}
