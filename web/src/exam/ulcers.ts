// The ulcers: cards of the form, placed by touching the drawing.
import { follow } from "./lesions";

export interface Card {
  card: HTMLDetailsElement;
  id: string;
  side: string;
  place: HTMLSelectElement;
}

function cardsOf(form: HTMLFormElement): Card[] {
  const cards: Card[] = [];
  for (const card of form.querySelector("#block-look .ulcers")?.querySelectorAll<HTMLDetailsElement>("details.ulcer") ?? []) {
    const id = card.querySelector<HTMLInputElement | HTMLSelectElement>('[name$=".id"]')?.value ?? "";
    const side = card.querySelector<HTMLInputElement>('input[name$=".side"]')?.value ?? "";
    const place = card.querySelector<HTMLSelectElement>('select[name$=".place"]');
    if (place) cards.push({ card, id, side, place });
  }
  return cards;
}

/** The ulcers at a place that are not recorded as closed. */
export function ulcersAt(form: HTMLFormElement, side: string, place: string): Card[] {
  return cardsOf(form).filter((c) => c.side === side && c.place.value === place && isOpen(c.card));
}

function isOpen(card: HTMLElement): boolean {
  const healed = card.querySelector<HTMLInputElement>('input[name$=".healed"]:checked')?.value;
  const depth = card.querySelector<HTMLSelectElement>('select[name$=".depth"]')?.value;
  return healed !== "yes" && depth !== "closed";
}

/** Whether nothing but the place is recorded. */
function isBare(c: Card): boolean {
  const filled = [...c.card.querySelectorAll<HTMLInputElement | HTMLSelectElement>("input, select")].filter((control) => {
    if (/\.(id|side|place)$/.test(control.name) || control.value === "") return false;
    return !(control instanceof HTMLInputElement && (control.type === "radio" || control.type === "checkbox")) || control.checked;
  });
  return filled.length === 0;
}

/** Places a new ulcer, or takes a bare one back. Returns the card to fill in. */
export function toggleUlcer(form: HTMLFormElement, side: string, place: string): HTMLDetailsElement | null {
  const there = ulcersAt(form, side, place)[0];
  if (there && !isBare(there)) return there.card;
  let made: HTMLDetailsElement | null = null;
  if (there) {
    there.place.value = "";
    there.card.open = false;
  } else {
    const free = cardsOf(form).find((c) => c.side === side && c.place.value === "" && isBare(c));
    if (!free) return null;
    choosePast(free, place);
    free.place.value = place;
    free.card.open = true;
    rename(free);
    if (!cardsOf(form).some((c) => c.side === side && c.place.value === "" && isBare(c))) addBlank(form, free);
    made = free.card;
  }
  follow(form, `${side}.look.wound`, cardsOf(form).some((c) => c.side === side && c.place.value !== "" && isOpen(c.card)));
  return made;
}

/** An ulcer that was seen at the same place before is taken to be the same one;
 *  the list on its card says so and can be changed. */
function choosePast(free: Card, place: string): void {
  const which = free.card.querySelector<HTMLSelectElement>('select[name$=".id"]');
  const same = which && [...which.options].find((o) => o.dataset["place"] === place);
  if (!which || !same) return;
  which.value = same.value;
  free.id = same.value;
}

/** A blank card becomes the card of its ulcer, in name too. */
function rename(c: Card): void {
  const summary = c.card.querySelector("summary");
  const was = summary?.textContent?.trim() ?? "";
  const is = `Ulcer ${c.id}, ${c.side} foot`;
  if (!summary || was === "" || was === is) return;
  c.card.dataset["blankTitle"] ??= was;
  retitle(c.card, was, is);
}

function retitle(card: HTMLElement, was: string, is: string): void {
  const walker = document.createTreeWalker(card, NodeFilter.SHOW_TEXT);
  for (let node = walker.nextNode(); node; node = walker.nextNode()) {
    if (node.nodeValue?.includes(was)) node.nodeValue = node.nodeValue.replace(was, is);
  }
  for (const named of card.querySelectorAll("[aria-label]")) {
    const label = named.getAttribute("aria-label") ?? "";
    if (label.includes(was)) named.setAttribute("aria-label", label.replace(was, is));
  }
}

/** After the last blank card of a foot is used, an empty one follows. */
function addBlank(form: HTMLFormElement, used: Card): void {
  const cards = cardsOf(form);
  const from = used.card.dataset["path"] ?? "";
  const to = `ulcers.${Math.max(...cards.map((c) => Number(c.card.dataset["path"]?.split(".")[1] ?? 0))) + 1}`;
  const fresh = used.card.cloneNode(true) as HTMLDetailsElement;
  for (const element of [fresh, ...fresh.querySelectorAll("*")]) {
    for (const { name, value } of [...element.attributes]) {
      if (value === from) element.setAttribute(name, to);
      else if (value.includes(`${from}.`)) element.setAttribute(name, value.replaceAll(`${from}.`, `${to}.`));
      else if (value === `f-${from}`) element.setAttribute(name, `f-${to}`);
    }
  }
  fresh.open = false;
  retitle(fresh, `Ulcer ${used.id}, ${used.side} foot`, used.card.dataset["blankTitle"] ?? "");
  for (const control of fresh.querySelectorAll<HTMLInputElement | HTMLSelectElement>("input, select")) {
    if (/\.(id|side)$/.test(control.name)) continue;
    if (control instanceof HTMLSelectElement) control.selectedIndex = 0;
    else if (control.type === "radio" || control.type === "checkbox") control.checked = control.type === "radio" && control.value === "";
    else control.value = "";
  }
  for (const note of fresh.querySelectorAll(".field-problems")) note.replaceChildren();
  const id = fresh.querySelector<HTMLInputElement | HTMLSelectElement>('[name$=".id"]');
  const free = freeID(cards);
  if (id instanceof HTMLSelectElement) {
    for (const option of [...id.options]) if (option.value === used.id) option.remove();
    const first = [...id.options].find((o) => !o.dataset["place"]) ?? id.options[0];
    if (first) {
      first.value = free;
      first.textContent = `A new ulcer, ${free}`;
      id.value = free;
    }
  } else if (id) id.value = free;
  used.card.after(fresh);
}

function freeID(cards: Card[]): string {
  const taken = new Set(cards.map((c) => c.id));
  for (const c of cards) for (const option of c.card.querySelectorAll<HTMLOptionElement>('select[name$=".id"] option')) taken.add(option.value);
  for (let n = 1; ; n++) if (!taken.has(`u${n}`)) return `u${n}`;
}
