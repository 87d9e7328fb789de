// The stage: the photo with the marks over it, worked with finger, pen, mouse or
// keyboard. A glass shows what is under the finger.
import type { Point } from "./geometry";
import type { Tracing } from "./tracing";

const svgNS = "http://www.w3.org/2000/svg";

/** A touch that stays within so many pixels of the screen is a tap. */
const tapWithin = 6;

/** A line that ends so near its beginning closes the outline, in pixels. */
const closesWithin = 18;

export class Stage {
  /** Where the keyboard's mark stands. */
  #cursor: Point = { x: 0, y: 0 };
  #zoom = 1;
  readonly #touches = new Map<number, Point>();
  #line: Point[] = [];
  #begin: Point = { x: 0, y: 0 };
  #panning = false;
  readonly #inner: HTMLElement;
  readonly #overlay: SVGSVGElement;
  readonly #glass: HTMLCanvasElement;

  constructor(
    readonly place: HTMLElement,
    readonly photo: HTMLCanvasElement,
    readonly tracing: Tracing,
    readonly changed: (says: string) => void,
  ) {
    this.#inner = document.createElement("div");
    this.#inner.className = "trace-inner";
    this.#overlay = document.createElementNS(svgNS, "svg");
    this.#overlay.setAttribute("aria-hidden", "true");
    this.#glass = document.createElement("canvas");
    this.#glass.className = "trace-glass";
    this.#glass.width = this.#glass.height = 260;
    this.#glass.hidden = true;
    this.#inner.append(photo, this.#overlay);
    place.replaceChildren(this.#inner);
    place.after(this.#glass);
    this.#inner.addEventListener("pointerdown", (e) => this.#down(e));
    this.#inner.addEventListener("pointermove", (e) => this.#move(e));
    this.#inner.addEventListener("pointerup", (e) => this.#up(e));
    this.#inner.addEventListener("pointercancel", (e) => this.#forget(e));
    place.addEventListener("keydown", (e) => this.#key(e));
  }

  /** A new photo is on the canvas. */
  fresh(): void {
    this.#cursor = { x: this.photo.width / 2, y: this.photo.height / 2 };
    this.#overlay.setAttribute("viewBox", `0 0 ${this.photo.width} ${this.photo.height}`);
    // The style sheet makes the stage so narrow that the whole photo shows.
    this.place.style.setProperty("--shape", String(this.photo.width / this.photo.height));
    this.zoom(1);
  }

  /** Shows the photo so many times as wide as the stage. */
  zoom(to: number): void {
    this.#zoom = Math.min(8, Math.max(1, to));
    this.#inner.style.width = `${this.#zoom * 100}%`;
    this.paint();
  }

  get zoomed(): number {
    return this.#zoom;
  }

  /** Draws the marks. */
  paint(): void {
    const t = this.tracing;
    const outline = [...t.outline, ...(t.marking === "edge" && this.#line.length > 1 ? this.#line : [])];
    const size = this.#perPixel() * 7;
    const marks: SVGElement[] = [];
    if (outline.length > 1) {
      const points = outline.map((p) => `${p.x},${p.y}`).join(" ");
      for (const name of ["trace-halo", "trace-line"]) {
        marks.push(shape(t.closed ? "polygon" : "polyline", { points, class: t.closed ? `${name} trace-closed` : name }));
      }
    }
    if (t.outline.length > 0 && t.outline.length <= 60) {
      for (const p of t.outline) marks.push(shape("circle", { cx: p.x, cy: p.y, r: size / 2, class: "trace-corner" }));
    }
    const [a, b] = t.ruler;
    if (a && b) {
      for (const name of ["trace-halo", "trace-ruler"]) marks.push(shape("line", { x1: a.x, y1: a.y, x2: b.x, y2: b.y, class: name }));
    }
    for (const p of t.ruler) marks.push(...cross(p, size, "trace-ruler"));
    if (document.activeElement === this.place) marks.push(...cross(this.#cursor, size * 1.6, "trace-cursor"));
    this.#overlay.replaceChildren(...marks);
  }

  /** Points of the picture for each pixel of the screen. */
  #perPixel(): number {
    const width = this.#inner.getBoundingClientRect().width;
    return width > 0 ? this.photo.width / width : 1;
  }

  #at(event: PointerEvent): Point {
    const box = this.#inner.getBoundingClientRect();
    const x = ((event.clientX - box.left) / box.width) * this.photo.width;
    const y = ((event.clientY - box.top) / box.height) * this.photo.height;
    return { x: clamp(x, this.photo.width), y: clamp(y, this.photo.height) };
  }

  #down(event: PointerEvent): void {
    if (event.button !== 0) return;
    event.preventDefault();
    this.place.focus({ preventScroll: true });
    this.#inner.setPointerCapture(event.pointerId);
    this.#touches.set(event.pointerId, { x: event.clientX, y: event.clientY });
    if (this.#touches.size > 1) {
      // Two fingers move the picture; what one of them began is no mark.
      this.#panning = true;
      this.#line = [];
      this.#glass.hidden = true;
      this.paint();
      return;
    }
    this.#panning = false;
    this.#begin = { x: event.clientX, y: event.clientY };
    this.#line = [this.#at(event)];
    this.#magnify(event);
  }

  #move(event: PointerEvent): void {
    const before = this.#touches.get(event.pointerId);
    if (!before) return;
    this.#touches.set(event.pointerId, { x: event.clientX, y: event.clientY });
    if (this.#panning) {
      this.place.scrollLeft -= (event.clientX - before.x) / this.#touches.size;
      this.place.scrollTop -= (event.clientY - before.y) / this.#touches.size;
      return;
    }
    const steps = event.getCoalescedEvents?.() ?? [];
    for (const step of steps.length > 0 ? steps : [event]) this.#line.push(this.#at(step));
    this.#magnify(event);
    this.paint();
  }

  #up(event: PointerEvent): void {
    const line = this.#line;
    const panned = this.#panning;
    this.#forget(event);
    if (panned || line.length === 0) return;
    const end = this.#at(event);
    const still = Math.hypot(event.clientX - this.#begin.x, event.clientY - this.#begin.y) < tapWithin && line.length < 30;
    const says = still || this.tracing.marking === "ruler" ? this.tracing.mark(end) : this.tracing.draw([...line, end], closesWithin * this.#perPixel());
    this.#cursor = end;
    this.#done(says);
  }

  #forget(event: PointerEvent): void {
    this.#touches.delete(event.pointerId);
    if (this.#touches.size === 0) this.#panning = false;
    this.#line = [];
    this.#glass.hidden = true;
    this.paint();
  }

  #key(event: KeyboardEvent): void {
    const step = this.#perPixel() * (event.shiftKey ? 20 : 2);
    switch (event.key) {
      case "ArrowLeft":
        return this.#step(event, -step, 0);
      case "ArrowRight":
        return this.#step(event, step, 0);
      case "ArrowUp":
        return this.#step(event, 0, -step);
      case "ArrowDown":
        return this.#step(event, 0, step);
      case "Enter":
      case " ":
        event.preventDefault();
        return this.#done(this.tracing.mark({ ...this.#cursor }));
      case "Backspace":
      case "Delete":
        event.preventDefault();
        return this.#done(this.tracing.undo());
      case "c":
        event.preventDefault();
        return this.#done(this.tracing.close());
    }
  }

  #step(event: KeyboardEvent, dx: number, dy: number): void {
    event.preventDefault();
    this.#cursor = { x: clamp(this.#cursor.x + dx, this.photo.width), y: clamp(this.#cursor.y + dy, this.photo.height) };
    this.#follow();
    this.paint();
  }

  /** Keeps the keyboard's mark in sight. */
  #follow(): void {
    const [box, seen] = [this.#inner.getBoundingClientRect(), this.place.getBoundingClientRect()];
    const x = box.left + (this.#cursor.x / this.photo.width) * box.width;
    const y = box.top + (this.#cursor.y / this.photo.height) * box.height;
    const margin = 24;
    if (x < seen.left + margin) this.place.scrollLeft -= seen.left + margin - x;
    if (x > seen.right - margin) this.place.scrollLeft += x - seen.right + margin;
    if (y < seen.top + margin) this.place.scrollTop -= seen.top + margin - y;
    if (y > seen.bottom - margin) this.place.scrollTop += y - seen.bottom + margin;
  }

  #done(says: string): void {
    this.paint();
    this.changed(says);
  }

  /** Shows what is under a finger, on the other side of the stage. */
  #magnify(event: PointerEvent): void {
    if (event.pointerType === "mouse") return;
    const context = this.#glass.getContext("2d");
    if (!context) return;
    const p = this.#at(event);
    const [size, reach] = [this.#glass.width, this.#perPixel() * 22];
    context.fillStyle = "#000";
    context.fillRect(0, 0, size, size);
    context.drawImage(this.photo, p.x - reach, p.y - reach, 2 * reach, 2 * reach, 0, 0, size, size);
    context.lineWidth = 2;
    for (const [colour, shift] of [["#000", 1.5], ["#fff", 0]] as const) {
      context.strokeStyle = colour;
      context.beginPath();
      context.moveTo(size / 2 + shift, 0);
      context.lineTo(size / 2 + shift, size);
      context.moveTo(0, size / 2 + shift);
      context.lineTo(size, size / 2 + shift);
      context.stroke();
    }
    const seen = this.place.getBoundingClientRect();
    this.#glass.classList.toggle("trace-glass-right", event.clientX < (seen.left + seen.right) / 2);
    this.#glass.hidden = false;
  }
}

function clamp(v: number, most: number): number {
  return Math.min(most, Math.max(0, v));
}

function shape(name: string, attributes: Record<string, string | number>): SVGElement {
  const made = document.createElementNS(svgNS, name);
  for (const [key, value] of Object.entries(attributes)) made.setAttribute(key, String(value));
  return made;
}

/** A cross, dark under light, so that it shows on any picture. */
function cross(p: Point, r: number, name: string): SVGElement[] {
  const d = `M${p.x - r} ${p.y}H${p.x + r}M${p.x} ${p.y - r}V${p.y + r}`;
  return [shape("path", { d, class: "trace-halo" }), shape("path", { d, class: name })];
}
