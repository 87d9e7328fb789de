// One tracing: the marks of the ruler, the strokes of the edge, and what they
// come to. It knows no screen.
import { fitted, measure, scale, simplify, type Measured, type Point } from "./geometry";

/** What the next mark is of. */
export type Marking = "ruler" | "edge";

/** Half a point of the picture: less than a steady hand. */
const steady = 0.5;

export class Tracing {
  marking: Marking = "ruler";
  closed = false;
  #ruler: Point[] = [];
  #millimetres = 0;
  #given = 0;
  /** Each stroke is a touch: one point, or a line. Undo takes one back. */
  #strokes: Point[][] = [];

  /** The two marks of the ruler, or fewer. */
  get ruler(): readonly Point[] {
    return this.#ruler;
  }

  get millimetres(): number {
    return this.#millimetres;
  }

  /** How far the two marks are apart. Once the scale stands, marks are of the
   *  edge. */
  setMillimetres(mm: number): void {
    this.#millimetres = mm > 0 && Number.isFinite(mm) ? mm : 0;
    if (this.unitsPerMM > 0 && this.marking === "ruler" && this.#strokes.length === 0) this.marking = "edge";
  }

  /** Goes on with an outline of before, with its scale. */
  takeUp(outline: readonly Point[], unitsPerMM: number): void {
    this.#given = unitsPerMM;
    this.#strokes = outline.length > 0 ? [[...outline]] : [];
    this.closed = outline.length >= 3;
    this.marking = unitsPerMM > 0 ? "edge" : "ruler";
  }

  /** Points of the picture for each millimetre; 0 while it is not known. */
  get unitsPerMM(): number {
    const [a, b] = this.#ruler;
    return a && b ? scale(a, b, this.#millimetres) : this.#given;
  }

  /** The corners of the edge, in order. */
  get outline(): Point[] {
    return this.#strokes.flat();
  }

  /** Marks one point. Says in words what it did. */
  mark(p: Point): string {
    if (this.marking === "ruler") {
      if (this.#ruler.length >= 2) this.#ruler = [];
      this.#ruler = [...this.#ruler, p];
      this.#given = 0;
      if (this.#ruler.length === 1) return "First point of the ruler marked.";
      if (this.unitsPerMM > 0 && this.#strokes.length === 0) this.marking = "edge";
      return this.#millimetres > 0 ? "Second point of the ruler marked. Now the edge of the wound." : "Second point of the ruler marked. Say how far the two are apart.";
    }
    if (this.closed) return "The outline is closed. Undo opens it again.";
    this.#strokes = [...this.#strokes, [p]];
    return `Corner ${this.outline.length} marked.`;
  }

  /** Adds a line that was drawn. One that comes back to where the outline began
   *  closes it; near says how close that is, in points of the picture. */
  draw(line: readonly Point[], near: number): string {
    const last = line.at(-1);
    if (this.marking === "ruler") return last ? this.mark(last) : "";
    if (this.closed) return "The outline is closed. Undo opens it again.";
    const added = simplify(line, steady);
    this.#strokes = [...this.#strokes, added];
    const outline = this.outline;
    const first = outline[0];
    if (first && last && outline.length > 3 && Math.hypot(last.x - first.x, last.y - first.y) <= near) {
      return this.close();
    }
    return `A line of ${added.length} corners drawn.`;
  }

  /** Joins the last corner with the first. */
  close(): string {
    if (this.outline.length < 3) return "An outline needs 3 corners or more.";
    this.closed = true;
    const measured = this.measured;
    return "problem" in measured ? measured.problem : "Outline closed.";
  }

  /** Takes the last thing back: the closing, a stroke, a mark of the ruler. */
  undo(): string {
    if (this.closed) {
      this.closed = false;
      return "Outline open again.";
    }
    if (this.#strokes.length > 0) {
      this.#strokes = this.#strokes.slice(0, -1);
      return "Last mark of the edge taken back.";
    }
    if (this.#ruler.length > 0) {
      this.#ruler = this.#ruler.slice(0, -1);
      this.marking = "ruler";
      return "Last mark of the ruler taken back.";
    }
    return "Nothing to take back.";
  }

  /** Takes one corner out. */
  remove(corner: number): string {
    let left = corner;
    this.#strokes = this.#strokes
      .map((stroke) => {
        const here = left;
        left -= stroke.length;
        return here >= 0 && here < stroke.length ? stroke.filter((_, i) => i !== here) : stroke;
      })
      .filter((stroke) => stroke.length > 0);
    if (this.outline.length < 3) this.closed = false;
    return `Corner ${corner + 1} taken out.`;
  }

  /** Begins the edge anew. */
  clear(): string {
    this.#strokes = [];
    this.closed = false;
    return "The edge is to be traced anew.";
  }

  /** The outline as the document takes it. */
  get result(): Point[] {
    return fitted(this.outline);
  }

  /** What the result comes to. */
  get measured(): Measured {
    if (!this.closed) return { problem: "The outline is open: close it to get the area." };
    return measure(this.result, this.unitsPerMM);
  }
}
