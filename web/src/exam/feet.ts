// The drawn feet of the exam page: touch a place to record what is there. The
// questions of the form stay the truth; a drawing reads and sets them, so that
// the page is the same with and without it.
import { controlsOf, record } from "./answers";
import { showLoss } from "./loss";
import { lookMark, showMark, showNoted, testMark, testPath } from "./marks";
import { startPlaces } from "./places";
import { startSheet } from "./sheet";

/** What a touch on a test site goes through. */
const results = ["normal", "abnormal", "not-possible", ""];

/** The key of each result. */
const keys: Record<string, string> = { "1": "normal", "2": "abnormal", "3": "not-possible", "0": "" };

/** The names of answers that a drawing shows. */
const drawn = /\.(loss|look\.skin|look\.lesions|test\.filament)\b|^ulcers\.|^-/;

export function startFeet(form: HTMLFormElement, changed: () => void): void {
  const drawings = [...form.querySelectorAll<HTMLElement>("[data-feet]")];
  if (drawings.length === 0) return;
  const show = () => showFeet(form);
  const touched = () => {
    show();
    changed();
  };
  const sheet = startSheet(form, touched);

  for (const drawing of drawings) {
    startPlaces(drawing);
    const touch = drawing.dataset["feet"] === "test" ? (place: SVGGElement) => nextResult(form, place, touched) : sheet;
    drawing.addEventListener("click", (event) => {
      const place = event.target instanceof Element ? event.target.closest<SVGGElement>("g.place") : null;
      if (place) touch(place);
    });
    drawing.addEventListener("keydown", (event) => {
      const place = event.target instanceof Element ? event.target.closest<SVGGElement>("g.place") : null;
      if (!place || event.ctrlKey || event.metaKey || event.altKey) return;
      if (event.key === "Enter" || event.key === " ") {
        event.preventDefault();
        touch(place);
      } else if (drawing.dataset["feet"] === "test" && event.key in keys) {
        event.preventDefault();
        setResult(form, place, keys[event.key] ?? "", touched);
      }
    });
  }
  // The lines under a foot open its places too.
  form.addEventListener("click", (event) => {
    const line = event.target instanceof Element ? event.target.closest<HTMLElement>(".noted-place") : null;
    const foot = line?.closest<HTMLElement>(".feet-one");
    const place = foot?.querySelector<SVGGElement>(`g.place[data-place="${line?.dataset["place"]}"]`);
    if (place) sheet(place, line ?? undefined);
  });
  form.addEventListener("change", (event) => {
    if (event.target instanceof Element && drawn.test(event.target.getAttribute("name") ?? "")) show();
  });
  form.addEventListener("recorded", show);
  document.getElementById("last-time")?.addEventListener("change", show);
  show();
}

/** Brings every drawing in line with the answers. */
export function showFeet(form: HTMLFormElement): void {
  showLoss(form);
  const last = document.querySelector<HTMLInputElement>("#last-time")?.checked ?? false;
  for (const place of form.querySelectorAll<SVGGElement>('[data-feet="look"] g.place')) showMark(place, lookMark(form, place), last);
  for (const place of form.querySelectorAll<SVGGElement>('[data-feet="test"] g.place')) showMark(place, testMark(form, place), last);
  for (const list of form.querySelectorAll<HTMLElement>("[data-noted]")) showNoted(list);
}

function nextResult(form: HTMLFormElement, place: SVGGElement, touched: () => void): void {
  const now = controlsOf(form, testPath(place)).find((c) => c instanceof HTMLInputElement && c.checked);
  const at = results.indexOf(now instanceof HTMLInputElement ? now.value : "");
  setResult(form, place, results[(at + 1) % results.length] ?? "", touched);
}

function setResult(form: HTMLFormElement, place: SVGGElement, value: string, touched: () => void): void {
  record(form, testPath(place), value);
  touched();
}
