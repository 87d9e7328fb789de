// The drawn feet of the exam page: touch a place to record what is there. The
// questions of the form stay the truth; a drawing reads and sets them, so that
// the page is the same with and without it.
import { record, valueOf } from "./answers";
import { showLoss } from "./loss";
import { answersOf, placeOf, seenOf, showMark, showNoted, sideOf, testMark, testPath } from "./marks";
import { startPlaces } from "./places";
import { startSheet } from "./sheet";

/** What a touch on a test site goes through. */
const results = ["normal", "abnormal", "not-possible", ""];

/** The key of each result. */
const keys: Record<string, string> = { "1": "normal", "2": "abnormal", "3": "not-possible", "0": "" };

export function startFeet(form: HTMLFormElement, changed: () => void): void {
  const drawings = [...form.querySelectorAll<HTMLElement>("[data-feet]")];
  if (drawings.length === 0) return;
  const show = () => showFeet(form);
  const sheet = startSheet(form, changed);

  for (const drawing of drawings) {
    startPlaces(drawing);
    const touch = drawing.dataset["feet"] === "test" ? (place: SVGGElement) => nextResult(form, place, changed) : sheet;
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
        setResult(form, place, keys[event.key] ?? "", changed);
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
  form.addEventListener("recorded", show);
  const last = document.getElementById("last-time");
  last?.addEventListener("change", () => {
    form.closest(".exam")?.toggleAttribute("data-last", showsLast());
    show();
  });
  show();
}

/** Whether what was there last time is shown beside. */
const showsLast = () => document.querySelector<HTMLInputElement>("#last-time")?.checked ?? false;

/** Brings every drawing in line with the answers. */
export function showFeet(form: HTMLFormElement): void {
  showLoss(form);
  const last = showsLast();
  const answers = answersOf(form);
  const seen = seenOf(answers);
  for (const place of form.querySelectorAll<SVGGElement>('[data-feet="look"] g.place')) {
    const foot = seen[sideOf(place)];
    if (foot) showMark(place, foot.marks.get(placeOf(place)) ?? foot.rest, last);
  }
  for (const svg of form.querySelectorAll<SVGElement>('[data-feet="test"] svg.foot')) {
    let inside = false;
    for (const place of svg.querySelectorAll<SVGGElement>("g.place")) {
      showMark(place, testMark(answers.get(testPath(place)) ?? ""), last);
      const row = document.getElementById(`f-${testPath(place)}`)?.closest<HTMLElement>(".row");
      const out = row?.hidden ?? false;
      if (place.hasAttribute("data-out") !== out) place.toggleAttribute("data-out", out);
      inside ||= !out;
    }
    if (svg.hasAttribute("data-out") === inside) svg.toggleAttribute("data-out", !inside);
  }
  for (const list of form.querySelectorAll<HTMLElement>("[data-noted]")) showNoted(list);
}

function nextResult(form: HTMLFormElement, place: SVGGElement, changed: () => void): void {
  const at = results.indexOf(valueOf(form, testPath(place)));
  setResult(form, place, results[(at + 1) % results.length] ?? "", changed);
}

/** Only the place that was touched is drawn anew. */
function setResult(form: HTMLFormElement, place: SVGGElement, value: string, changed: () => void): void {
  record(form, testPath(place), value);
  showMark(place, testMark(value), showsLast());
  changed();
}
