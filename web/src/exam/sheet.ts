// The sheet of one place: what can be recorded there. It opens over the page
// where the place was touched, and focus goes back there.
import { record } from "./answers";
import { kindsAt, noteAt, toggleLesion } from "./lesions";
import { showLoss } from "./loss";
import { nameOf, placeOf, sideOf } from "./marks";
import { toggleUlcer, ulcersAt } from "./ulcers";

/** Makes the sheet ready; the answer opens it for a place. */
export function startSheet(form: HTMLFormElement, touched: () => void): (place: SVGGElement, from?: HTMLElement) => void {
  const sheet = document.querySelector<HTMLDialogElement>("dialog#place");
  if (!sheet) return () => {};
  let place: SVGGElement | null = null;
  let back: HTMLElement | SVGElement | null = null;
  let next: HTMLDetailsElement | null = null;

  const show = () => {
    if (place) fill(sheet, form, place);
  };
  const press = (chip: HTMLElement) => {
    if (!place) return;
    const [side, where] = [sideOf(place), placeOf(place)];
    if (chip.dataset["kind"]) toggleLesion(form, side, where, chip.dataset["kind"]);
    else if (chip.dataset["lost"]) toggleLost(form, side, toeOf(where), chip.dataset["lost"]);
    else if ("ulcer" in chip.dataset) {
      next = toggleUlcer(form, side, where);
    } else {
      sheet.close();
      return;
    }
    touched();
    show();
  };

  sheet.addEventListener("click", (event) => {
    if (event.target === sheet) sheet.close(); // the page around it
    const chip = event.target instanceof Element ? event.target.closest<HTMLElement>("button") : null;
    if (chip) press(chip);
  });
  sheet.addEventListener("input", (event) => {
    if (!(event.target instanceof HTMLInputElement) || !place) return;
    const note = noteAt(form, sideOf(place), placeOf(place));
    if (note) note.value = event.target.value;
    touched();
  });
  sheet.addEventListener("keydown", (event) => {
    if (event.ctrlKey || event.metaKey || event.altKey) return;
    if (event.target instanceof HTMLInputElement) {
      if (event.key === "Enter") sheet.close();
      return;
    }
    const chip = [...sheet.querySelectorAll<HTMLElement>("button")].find((b) => b.offsetParent !== null && b.querySelector("kbd")?.textContent === event.key);
    if (!chip) return;
    event.preventDefault();
    press(chip);
  });
  sheet.addEventListener("close", () => {
    const card = next;
    next = null;
    if (card) {
      card.open = true;
      card.scrollIntoView({ block: "nearest" });
      card.querySelector<HTMLElement>('[name$=".length-mm"]')?.focus();
    } else if (back?.isConnected && !back.closest("[hidden]")) back.focus();
    else place?.closest("svg")?.querySelector<SVGElement>("g.place:not([hidden])")?.focus();
  });
  return (touchedPlace, from) => {
    place = touchedPlace;
    back = from ?? touchedPlace;
    show();
    sheet.showModal();
    sheet.querySelector<HTMLElement>("#place-title")?.focus({ preventScroll: true });
  };
}

function fill(sheet: HTMLDialogElement, form: HTMLFormElement, place: SVGGElement): void {
  const [side, where] = [sideOf(place), placeOf(place)];
  const title = sheet.querySelector("#place-title");
  if (title) title.textContent = `${nameOf(place)}, ${side} foot`;
  const was = sheet.querySelector<HTMLElement>("#place-was");
  if (was) {
    was.hidden = !place.dataset["was"];
    was.textContent = `Last time: ${place.dataset["was"] ?? ""}`;
  }
  const found = new Set(kindsAt(form, side, where));
  for (const chip of sheet.querySelectorAll<HTMLElement>("[data-kind]")) pressed(chip, found.has(chip.dataset["kind"] ?? ""));
  const note = sheet.querySelector<HTMLInputElement>("[data-note]");
  const holder = note?.closest<HTMLElement>(".place-note");
  if (note && holder) {
    const kept = noteAt(form, side, where);
    holder.hidden = kept === null;
    if (note.value !== (kept?.value ?? "")) note.value = kept?.value ?? "";
  }
  const ulcer = sheet.querySelector<HTMLElement>("[data-ulcer]");
  if (ulcer) pressed(ulcer, ulcersAt(form, side, where).length > 0);
  const toe = toeOf(where);
  const losses = sheet.querySelector<HTMLElement>("[data-losses]");
  if (losses) losses.hidden = toe === 0;
  for (const chip of sheet.querySelectorAll<HTMLElement>("[data-lost]")) {
    if (toe > 0) pressed(chip, form.querySelector<HTMLInputElement>(`input[name="${side}.loss.${chip.dataset["lost"]}"][value="${toe}"]`)?.checked ?? false);
  }
}

function pressed(chip: HTMLElement, is: boolean): void {
  chip.setAttribute("aria-pressed", String(is));
}

/** The number of the toe that a place is on, 0 for none. */
function toeOf(place: string): number {
  if (place.startsWith("hallux")) return 1;
  return Number(/^toe(\d)/.exec(place)?.[1] ?? 0);
}

/** Records a toe as lost, alone or with its metatarsal head, or takes it back. */
function toggleLost(form: HTMLFormElement, side: string, toe: number, how: string): void {
  const level = form.querySelector<HTMLSelectElement>(`select[name="${side}.loss.level"]`);
  const box = form.querySelector<HTMLInputElement>(`input[name="${side}.loss.${how}"][value="${toe}"]`);
  if (!level || !box) return;
  box.checked = !box.checked;
  const other = form.querySelector<HTMLInputElement>(`input[name="${side}.loss.${how === "toes" ? "rays" : "toes"}"][value="${toe}"]`);
  if (box.checked && other) other.checked = false;
  const any = form.querySelector(`input[name="${side}.loss.toes"]:checked, input[name="${side}.loss.rays"]:checked`);
  if (any) level.value = "toes";
  else if (level.value === "toes") level.value = "";
  box.dispatchEvent(new Event("change", { bubbles: true }));
  showLoss(form); // now, so that the focus does not go back to what is gone
  // What was recorded at a place that is gone now is not a result of today.
  for (const control of form.querySelectorAll<HTMLElement>(`.cell[data-path^="${side}.test."][data-gone]`)) {
    const gone = (control.dataset["gone"] ?? "").split(" ").includes(`${how === "toes" ? "toe" : "ray"}-${toe}`);
    if (gone && box.checked) record(form, control.dataset["path"] ?? "", "");
  }
}
