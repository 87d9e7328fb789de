// What amputation takes away leaves the drawing and the questions at once. The
// page says with each part which losses take it (internal/web/drawing/lost.go).
import { recorded } from "./answers";

/** The losses recorded for a foot, in the words of the page. */
export function lossOf(form: HTMLFormElement, side: string): Set<string> {
  const level = form.querySelector<HTMLSelectElement>(`select[name="${side}.loss.level"]`)?.value ?? "";
  const words = new Set([level || "unknown"]);
  if (level !== "toes") return words;
  for (const [path, word] of [
    ["toes", "toe"],
    ["rays", "ray"],
  ]) {
    for (const box of form.querySelectorAll<HTMLInputElement>(`input[name="${side}.loss.${path}"]:checked`)) words.add(`${word}-${box.value}`);
  }
  return words;
}

const shown = new WeakMap<HTMLFormElement, string>();

/** Hides what is gone and shows what is there. */
export function showLoss(form: HTMLFormElement): void {
  const losses = { right: lossOf(form, "right"), left: lossOf(form, "left") };
  const state = [...losses.right, "|", ...losses.left].join(" ");
  if (shown.get(form) === state) return;
  shown.set(form, state);
  for (const side of ["right", "left"] as const) {
    const has = (words: string | undefined) => (words ?? "").split(" ").some((word) => losses[side].has(word));
    for (const drawing of form.querySelectorAll<SVGElement>(`svg[data-side="${side}"]`)) {
      for (const part of drawing.querySelectorAll<SVGElement>("[data-gone]")) part.toggleAttribute("hidden", has(part.dataset["gone"]));
      for (const part of drawing.querySelectorAll<SVGElement>("[data-only]")) part.toggleAttribute("hidden", !has(part.dataset["only"]));
    }
    for (const cell of form.querySelectorAll<HTMLElement>(`.cell[data-path^="${side}."][data-gone]`)) {
      const path = cell.dataset["path"] ?? "";
      cell.hidden = has(cell.dataset["gone"]) && !recorded(form, path);
      const note = form.querySelector<HTMLElement>(`[data-gone-note="${CSS.escape(path)}"]`);
      if (note) note.hidden = !cell.hidden;
    }
  }
}
