// The marks in the drawings: what is recorded at each place, as a letter and in
// words. internal/web/marks.go draws the same on the server.
import { lesionsAt } from "./lesions";
import { ulcersAt } from "./ulcers";

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

const results: Record<string, Mark> = {
  normal: { letter: "+", look: "normal", words: "felt" },
  abnormal: { letter: "−", look: "finding", words: "not felt" },
};

export function testMark(form: HTMLFormElement, place: SVGGElement): Mark {
  const chosen = checked(form, testPath(place));
  if (!chosen || chosen.value === "") return { letter: "", look: "", words: "not recorded" };
  const words = chosen.nextElementSibling?.firstChild?.textContent?.trim() ?? chosen.value;
  return results[chosen.value] ?? { letter: "/", look: "open", words: words.charAt(0).toLowerCase() + words.slice(1) };
}

export function lookMark(form: HTMLFormElement, place: SVGGElement): Mark {
  const side = sideOf(place);
  const ulcers = ulcersAt(form, side, placeOf(place));
  const lesions = lesionsAt(form, side, placeOf(place));
  const letters = [...ulcers.map(() => "U"), ...lesions.map((l) => l.letter)];
  if (letters.length > 0) {
    const danger = ulcers.length > 0 || lesions.some((l) => l.look === "danger");
    return {
      letter: (letters[0] ?? "") + (letters.length > 1 ? "+" : ""),
      look: danger ? "danger" : "finding",
      words: [...ulcers.map((u) => `open ulcer ${u.id}`), ...lesions.map((l) => l.words)].join(", "),
    };
  }
  const skin = checked(form, `${side}.look.skin`)?.value ?? "";
  if (skin === "normal") return { letter: "", look: "normal", words: "skin normal" };
  if (skin === "abnormal") return { letter: "", look: "seen", words: "no finding here" };
  return { letter: "", look: "", words: "not recorded" };
}

function checked(form: HTMLFormElement, path: string): HTMLInputElement | null {
  const named = form.elements.namedItem(path);
  if (!(named instanceof RadioNodeList)) return named instanceof HTMLInputElement && named.checked ? named : null;
  for (const node of named) if (node instanceof HTMLInputElement && node.checked) return node;
  return null;
}

/** Shows a mark at a place; last adds what was there last time. */
export function showMark(place: SVGGElement, mark: Mark, last: boolean): void {
  const was = place.dataset["was"];
  const label = `${nameOf(place)}: ${mark.words}${last && was ? `; last time ${was}` : ""}`;
  if (place.getAttribute("aria-label") !== label) place.setAttribute("aria-label", label);
  const look = mark.look ? `place place-${mark.look}` : "place";
  if (place.getAttribute("class") !== look) place.setAttribute("class", look);
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
