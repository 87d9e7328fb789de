// The skin findings: rows of the form, read and written by place. A place shows
// what stands in the rows; a touch adds a row or empties one.
import { growList, record } from "./answers";

export interface Lesion {
  kind: string;
  words: string;
  letter: string;
  look: "finding" | "danger";
}

interface Row {
  row: HTMLElement;
  kind: HTMLSelectElement;
  place: HTMLSelectElement;
}

function rowsOf(form: HTMLFormElement, side: string): Row[] {
  const rows: Row[] = [];
  for (const row of form.querySelectorAll<HTMLElement>(`[data-list="${side}.look.lesions"] [data-row]`)) {
    const kind = row.querySelector<HTMLSelectElement>('select[name$=".kind"]');
    const place = row.querySelector<HTMLSelectElement>('select[name$=".place"]');
    if (kind && place) rows.push({ row, kind, place });
  }
  return rows;
}

/** The chip of a kind knows its letter and its look. */
function chipOf(kind: string): HTMLElement | null {
  return document.querySelector<HTMLElement>(`#place [data-kind="${CSS.escape(kind)}"]`);
}

export function lesionsAt(form: HTMLFormElement, side: string, place: string): Lesion[] {
  return rowsOf(form, side)
    .filter((r) => r.place.value === place && r.kind.value !== "")
    .map((r) => {
      const chip = chipOf(r.kind.value);
      const words = chip?.firstChild?.textContent?.trim() ?? r.kind.value;
      return {
        kind: r.kind.value,
        words: words.charAt(0).toLowerCase() + words.slice(1),
        letter: chip?.dataset["letter"] ?? "Ot",
        look: chip?.dataset["class"] === "danger" ? "danger" : "finding",
      };
    });
}

/** The note of the first finding at a place; null without a finding. */
export function noteAt(form: HTMLFormElement, side: string, place: string): HTMLInputElement | null {
  const row = rowsOf(form, side).find((r) => r.place.value === place && r.kind.value !== "");
  return row?.row.querySelector<HTMLInputElement>('input[name$=".note"]') ?? null;
}

/** What the skin said before a finding was touched, to go back to. */
const before = new Map<string, string>();

/** Records a finding at a place, or takes it back. Skin with a finding is not
 *  normal: that answer follows, and goes back with the last finding. */
export function toggleLesion(form: HTMLFormElement, side: string, place: string, kind: string): void {
  const rows = rowsOf(form, side);
  const there = rows.find((r) => r.place.value === place && r.kind.value === kind);
  if (there) {
    there.kind.value = "";
    there.place.value = "";
    const note = there.row.querySelector<HTMLInputElement>('input[name$=".note"]');
    if (note) note.value = "";
  } else {
    const free = rows.find((r) => r.kind.value === "" && r.place.value === "");
    if (!free) return;
    free.kind.value = kind;
    free.place.value = place;
    growList(free.row);
  }
  follow(form, `${side}.look.skin`, rowsOf(form, side).some((r) => r.kind.value !== ""));
}

/** Sets an answer to "abnormal" while something is found, and puts back what it
 *  was once that is taken back. */
export function follow(form: HTMLFormElement, path: string, found: boolean): void {
  const now = form.querySelector<HTMLInputElement>(`input[name="${path}"]:checked`)?.value ?? "";
  if (found && now !== "abnormal") {
    before.set(path, now);
    record(form, path, "abnormal");
  } else if (!found && before.has(path)) {
    if (now === "abnormal") record(form, path, before.get(path) ?? "");
    before.delete(path);
  }
}
