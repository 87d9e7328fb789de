// The skin findings: rows of the form, read and written by place. A place shows
// what stands in the rows; a touch adds a row or empties one.
import { growList, record, valueOf } from "./answers";

interface Row {
  row: HTMLElement;
  kind: HTMLSelectElement;
  place: HTMLSelectElement;
}

function rowsOf(form: HTMLFormElement, side: string): Row[] {
  const rows: Row[] = [];
  // By id: looking through the whole form takes longer than a touch may.
  const list = form.ownerDocument.getElementById(`f-${side}.look.lesions`);
  for (const row of list?.querySelectorAll<HTMLElement>("[data-row]") ?? []) {
    const kind = row.querySelector<HTMLSelectElement>('select[name$=".kind"]');
    const place = row.querySelector<HTMLSelectElement>('select[name$=".place"]');
    if (kind && place) rows.push({ row, kind, place });
  }
  return rows;
}

/** The kinds of findings at a place. */
export function kindsAt(form: HTMLFormElement, side: string, place: string): string[] {
  return rowsOf(form, side)
    .filter((r) => r.place.value === place && r.kind.value !== "")
    .map((r) => r.kind.value);
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
    const isFree = (r: Row) => r.kind.value === "" && r.place.value === "";
    let free = rows.find(isFree);
    const last = rows.at(-1);
    if (!free && last) {
      growList(last.row);
      free = rowsOf(form, side).find(isFree);
    }
    if (!free) return;
    free.kind.value = kind;
    free.place.value = place;
    // The next empty row is made once this touch is answered.
    const used = free.row;
    setTimeout(() => growList(used), 60);
  }
  follow(form, `${side}.look.skin`, rowsOf(form, side).some((r) => r.kind.value !== ""));
}

/** Sets an answer to "abnormal" while something is found, and puts back what it
 *  was once that is taken back. */
export function follow(form: HTMLFormElement, path: string, found: boolean): void {
  const now = valueOf(form, path);
  if (found && now !== "abnormal") {
    before.set(path, now);
    record(form, path, "abnormal");
  } else if (!found && before.has(path)) {
    if (now === "abnormal") record(form, path, before.get(path) ?? "");
    before.delete(path);
  }
}
