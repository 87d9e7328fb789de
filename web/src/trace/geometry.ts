// The geometry of an outline: the same rule as the kernel's
// (internal/kernel/wound/outline.go), so that what is shown while tracing is
// what the exam will say. A test compares the two.

export interface Point {
  x: number;
  y: number;
}

/** The most corners that an exam document takes for one outline: what a list of
 *  the form may hold (internal/web/examshape.go). */
export const mostCorners = 200;

/** Longer than a foot: no wound reaches so far (the kernel's maxMM). */
const longestMM = 500;

/** What an outline encloses, or why it cannot be measured. */
export type Measured = { mm2: number; edgeMM: number } | { problem: string };

/** Measures a closed outline. unitsPerMM is the scale of the picture. */
export function measure(outline: readonly Point[], unitsPerMM: number): Measured {
  if (!(unitsPerMM > 0)) return { problem: "Set the scale first: mark two points of the ruler and say how far they are apart." };
  const corners = distinct(outline);
  if (corners.length < 3) return { problem: "An outline needs 3 different corners or more." };
  if (crossesItself(corners)) return { problem: "The outline crosses or touches itself: trace the edge once round." };
  const origin = corners[0] as Point;
  let twice = 0;
  let edge = 0;
  corners.forEach((p, i) => {
    const q = corners[(i + 1) % corners.length] as Point;
    twice += (p.x - origin.x) * (q.y - origin.y) - (q.x - origin.x) * (p.y - origin.y);
    edge += Math.hypot(q.x - p.x, q.y - p.y);
  });
  const mm2 = Math.abs(twice) / 2 / unitsPerMM / unitsPerMM;
  if (!(mm2 > 0)) return { problem: "The outline encloses no area: trace the edge once round." };
  if (mm2 > longestMM * longestMM) return { problem: "That is more than a foot has: look at the scale again." };
  return { mm2, edgeMM: edge / unitsPerMM };
}

/** The corners without repeated ones; a last one equal to the first falls out. */
export function distinct(outline: readonly Point[]): Point[] {
  const corners = outline.filter((p, i) => i === 0 || !same(p, outline[i - 1] as Point));
  const first = corners[0];
  const last = corners.at(-1);
  if (corners.length > 1 && first && last && same(first, last)) corners.pop();
  return corners;
}

function same(a: Point, b: Point): boolean {
  return a.x === b.x && a.y === b.y;
}

/** Says whether two edges that are not neighbours meet, or two neighbours fold
 *  back on each other. */
export function crossesItself(c: readonly Point[]): boolean {
  const n = c.length;
  const at = (i: number) => c[i % n] as Point;
  for (let i = 0; i < n; i++) {
    const [a, b, next] = [at(i), at(i + 1), at(i + 2)];
    if (turn(a, b, next) === 0 && (next.x - b.x) * (b.x - a.x) + (next.y - b.y) * (b.y - a.y) < 0) return true;
    for (let j = i + 2; j < n; j++) {
      if (i === 0 && j === n - 1) continue; // the last edge is a neighbour of the first
      if (meet(a, b, at(j), at(j + 1))) return true;
    }
  }
  return false;
}

function meet(a: Point, b: Point, c: Point, d: Point): boolean {
  if (Math.max(a.x, b.x) < Math.min(c.x, d.x) || Math.max(c.x, d.x) < Math.min(a.x, b.x)) return false;
  if (Math.max(a.y, b.y) < Math.min(c.y, d.y) || Math.max(c.y, d.y) < Math.min(a.y, b.y)) return false;
  return turn(a, b, c) * turn(a, b, d) <= 0 && turn(c, d, a) * turn(c, d, b) <= 0;
}

/** 1 where c lies on one side of the line from a to b, -1 on the other, 0 on it. */
function turn(a: Point, b: Point, c: Point): number {
  return Math.sign((b.x - a.x) * (c.y - a.y) - (b.y - a.y) * (c.x - a.x));
}

/** Drops the points of a stroke that say less than tolerance. */
export function simplify(points: readonly Point[], tolerance: number): Point[] {
  if (points.length < 3) return [...points];
  const first = points[0] as Point;
  const last = points.at(-1) as Point;
  let far = 0;
  let most = 0;
  for (let i = 1; i < points.length - 1; i++) {
    const d = offLine(points[i] as Point, first, last);
    if (d > most) [far, most] = [i, d];
  }
  if (most <= tolerance) return [first, last];
  return [...simplify(points.slice(0, far + 1), tolerance).slice(0, -1), ...simplify(points.slice(far), tolerance)];
}

/** How far a point lies off the line between two others. */
function offLine(p: Point, a: Point, b: Point): number {
  const length = Math.hypot(b.x - a.x, b.y - a.y);
  if (length === 0) return Math.hypot(p.x - a.x, p.y - a.y);
  return Math.abs((b.x - a.x) * (a.y - p.y) - (a.x - p.x) * (b.y - a.y)) / length;
}

/** The outline with no more corners than a document takes, each to a tenth of a
 *  point of the picture. */
export function fitted(outline: readonly Point[], most = mostCorners): Point[] {
  const rounded = outline.map((p) => ({ x: Math.round(p.x * 10) / 10, y: Math.round(p.y * 10) / 10 }));
  let corners = distinct(rounded);
  for (let tolerance = 0.25; corners.length > most; tolerance *= 1.5) {
    // The ring is opened at its first corner, which stays.
    corners = distinct(simplify([...corners, corners[0] as Point], tolerance));
  }
  return corners;
}

/** Points of the picture for each millimetre, from two marks of the ruler. */
export function scale(a: Point, b: Point, mm: number): number {
  return mm > 0 ? Math.hypot(b.x - a.x, b.y - a.y) / mm : 0;
}
