// The marks in the drawings: what is recorded at each place, as a letter and in
// words. internal/web/marks.go draws the same on the server.

export interface Mark {
  letter: string;
  look: "" | "normal" | "seen" | "finding" | "danger" | "open";
  words: string;
}

export const sideOf = (place: SVGGElement) => place.dataset["side"] ?? "";
export const placeOf = (place: SVGGElement) => place.dataset["place"] ?? "";
export const nameOf = (place: SVGGElement) => place.dataset["name"] ?? "";

/** The path of the result at a monofilament site. */
export function testPath(place: SVGGElement): string {
  return `${sideOf(place)}.test.filament.${placeOf(place)}`;
}

/** The answers of the form by path, read in one go. */
export type Answers = Map<string, string>;

export function answersOf(form: HTMLFormElement): Answers {
  const answers: Answers = new Map();
  for (const [path, value] of new FormData(form)) if (typeof value === "string" && value !== "") answers.set(path, value);
  return answers;
}

const noMark: Mark = { letter: "", look: "", words: "not recorded" };
const results: Record<string, Mark> = {
  normal: { letter: "+", look: "normal", words: "felt" },
  abnormal: { letter: "−", look: "finding", words: "not felt" },
  "not-possible": { letter: "/", look: "open", words: "not possible today" },
  refused: { letter: "/", look: "open", words: "declined" },
  absent: { letter: "/", look: "open", words: "not there" },
};

/** The mark of a monofilament result. */
export function testMark(result: string): Mark {
  return results[result] ?? noMark;
}

/** What is to be seen at the places of one foot; rest stands for the others. */
export interface Seen {
  marks: Map<string, Mark>;
  rest: Mark;
}

/** Reads ulcers and skin findings of both feet. */
export function seenOf(answers: Answers): Record<string, Seen> {
  const seen: Record<string, Seen> = {};
  for (const side of ["right", "left"]) {
    const skin = answers.get(`${side}.look.skin`);
    const rest: Mark = skin === "normal" ? { letter: "", look: "normal", words: "skin normal" } : skin === "abnormal" ? { letter: "", look: "seen", words: "no finding here" } : noMark;
    seen[side] = { marks: new Map(), rest };
  }
  for (const [path, place] of answers) {
    const ulcer = /^(ulcers\.\d+)\.place$/.exec(path)?.[1];
    if (!ulcer || answers.get(`${ulcer}.healed`) === "yes" || answers.get(`${ulcer}.depth`) === "closed") continue;
    add(seen[answers.get(`${ulcer}.side`) ?? ""], place, { letter: "U", look: "danger", words: `open ulcer ${answers.get(`${ulcer}.id`)}` });
  }
  for (const [path, kind] of answers) {
    const [, row, side] = /^((right|left)\.look\.lesions\.\d+)\.kind$/.exec(path) ?? [];
    const place = row && answers.get(`${row}.place`);
    if (place) add(seen[side ?? ""], place, kindMark(kind));
  }
  return seen;
}

function add(seen: Seen | undefined, place: string, mark: Mark): void {
  const there = seen?.marks.get(place);
  seen?.marks.set(
    place,
    there
      ? {
          letter: there.letter.endsWith("+") ? there.letter : `${there.letter}+`,
          look: there.look === "danger" ? "danger" : mark.look,
          words: `${there.words}, ${mark.words}`,
        }
      : mark,
  );
}

const kinds = new Map<string, Mark>();

/** The mark of a kind of skin finding: its chip knows letter, look and words. */
export function kindMark(kind: string): Mark {
  let mark = kinds.get(kind);
  if (!mark) {
    const chip = document.querySelector<HTMLElement>(`#place [data-kind="${CSS.escape(kind)}"]`);
    const words = chip?.firstChild?.textContent?.trim() ?? kind;
    mark = {
      letter: chip?.dataset["letter"] ?? "Ot",
      look: chip?.dataset["class"] === "danger" ? "danger" : "finding",
      words: words.charAt(0).toLowerCase() + words.slice(1),
    };
    kinds.set(kind, mark);
  }
  return mark;
}

/** Shows a mark at a place; last adds what was there last time. */
export function showMark(place: SVGGElement, mark: Mark, last: boolean): void {
  const was = place.dataset["was"];
  const label = `${nameOf(place)}: ${mark.words}${last && was ? `; last time ${was}` : ""}`;
  const look = mark.look ? `place place-${mark.look}` : "place";
  if (place.getAttribute("aria-label") === label && place.getAttribute("class") === look) return;
  place.setAttribute("aria-label", label);
  place.setAttribute("class", look);
  const text = place.querySelector("text");
  if (text && text.textContent !== mark.letter) text.textContent = mark.letter;
}

/** Writes the findings of a foot under it, in the order of its places. */
export function showNoted(list: HTMLElement): void {
  const places = [...(list.closest(".feet-one")?.querySelectorAll<SVGGElement>("g.place-finding, g.place-danger") ?? [])];
  const text = places.map((p) => p.getAttribute("aria-label")).join("\n");
  if (list.dataset["text"] === text) return;
  list.dataset["text"] = text;
  const focused = document.activeElement instanceof HTMLElement && list.contains(document.activeElement) ? document.activeElement.dataset["place"] : "";
  list.replaceChildren(
    ...places.map((place) => {
      const line = document.createElement("button");
      line.type = "button";
      line.className = "noted-place";
      line.dataset["place"] = placeOf(place);
      const letter = document.createElement("b");
      letter.setAttribute("aria-hidden", "true");
      letter.textContent = place.querySelector("text")?.textContent ?? "";
      line.append(letter, ` ${place.getAttribute("aria-label") ?? ""}`);
      const item = document.createElement("li");
      item.append(line);
      return item;
    }),
  );
  if (focused) list.querySelector<HTMLElement>(`[data-place="${focused}"]`)?.focus();
}
