// Measuring on a photo, from the cards of the ulcers: each gets a button, and
// what was traced goes into the form as the answers of its size.
import { record } from "../exam/answers";
import { unlock } from "../offline/key";
import { Vault } from "../offline/vault";
import { areaWords, trace } from "./dialog";
import { measure, type Point } from "./geometry";

export function startTrace(form: HTMLFormElement): void {
  for (const card of form.querySelectorAll<HTMLElement>("details.ulcer")) addButton(form, card);
  // Cards are copied when another ulcer is placed: the form listens for all.
  form.addEventListener("click", (event) => {
    const button = event.target instanceof Element ? event.target.closest<HTMLElement>("[data-trace]") : null;
    const card = button?.closest<HTMLElement>("details.ulcer");
    if (card) void measureOn(form, card);
  });
  form.addEventListener("recorded", () => tellAll(form));
  tellAll(form);
}

function addButton(form: HTMLFormElement, card: HTMLElement): void {
  const path = card.dataset["path"] ?? "";
  const row = [...card.querySelectorAll<HTMLElement>("[data-path]")].find((c) => c.dataset["path"] === `${path}.size.method`)?.closest(".row");
  if (!row) return;
  const line = document.createElement("p");
  line.className = "trace-row";
  const button = document.createElement("button");
  button.type = "button";
  button.className = "button quiet";
  button.dataset["trace"] = "";
  button.textContent = "Measure on a photo";
  const says = document.createElement("span");
  says.dataset["traced"] = "";
  line.append(button, " ", says);
  row.after(line);
}

async function measureOn(form: HTMLFormElement, card: HTMLElement): Promise<void> {
  const path = card.dataset["path"] ?? "";
  const exam = form.dataset["exam"] ?? "";
  const ulcer = card.querySelector<HTMLInputElement | HTMLSelectElement>('[name$=".id"]')?.value ?? "";
  const unlocked = await unlock().catch(() => null);
  const vault = unlocked && new Vault(unlocked);
  const kept = await vault?.get<Uint8Array>("photo", exam, ulcer).catch(() => undefined);
  const there = tracedAt(form, path);
  const traced = await trace({
    title: `${card.querySelector("summary")?.textContent?.trim() ?? "Ulcer"}: measure on a photo`,
    ...there,
    photo: kept?.value ?? null,
    canKeep: vault !== null,
  });
  card.querySelector<HTMLElement>("[data-trace]")?.focus();
  if (!traced) return;
  write(form, path, traced.outline, traced.unitsPerMM);
  if (traced.photo) await vault?.put("photo", exam, traced.photo, ulcer);
  else if (kept) await vault?.write({ drop: [{ kind: "photo", exam, part: ulcer }] });
}

/** The outline that the form holds for an ulcer. */
function tracedAt(form: HTMLFormElement, path: string): { outline: Point[]; unitsPerMM: number } {
  const corners = new Map<number, Partial<Point>>();
  let unitsPerMM = 0;
  for (const input of inputsOf(form, path)) {
    const [, index, axis] = /\.outline\.(\d+)\.([xy])$/.exec(input.name) ?? [];
    if (index === undefined) unitsPerMM = Number(input.value);
    else corners.set(Number(index), { ...corners.get(Number(index)), [axis === "x" ? "x" : "y"]: Number(input.value) });
  }
  const outline = [...corners].sort(([a], [b]) => a - b).map(([, p]) => ({ x: p.x ?? 0, y: p.y ?? 0 }));
  return { outline, unitsPerMM };
}

function inputsOf(form: HTMLFormElement, path: string): HTMLInputElement[] {
  return [...form.querySelectorAll<HTMLInputElement>(`input[type="hidden"][name^="${CSS.escape(path)}.size."]`)];
}

/** Writes an outline into the form, in the place of an older one. */
function write(form: HTMLFormElement, path: string, outline: Point[], unitsPerMM: number): void {
  for (const input of inputsOf(form, path)) input.remove();
  const made = document.createDocumentFragment();
  const add = (name: string, value: number) => {
    const input = document.createElement("input");
    input.type = "hidden";
    input.name = `${path}.size.${name}`;
    input.value = String(value);
    input.dataset["kind"] = "number";
    made.append(input);
  };
  outline.forEach((p, i) => {
    add(`outline.${i}.x`, p.x);
    add(`outline.${i}.y`, p.y);
  });
  add("units-per-mm", Math.round(unitsPerMM * 10000) / 10000);
  (form.querySelector(".sheet") ?? form).append(made);
  record(form, `${path}.size.method`, "traced");
  form.dispatchEvent(new Event("input", { bubbles: true }));
}

/** Says beside each button what is traced already. */
function tellAll(form: HTMLFormElement): void {
  for (const card of form.querySelectorAll<HTMLElement>("#block-look .ulcers details.ulcer")) {
    const says = card.querySelector<HTMLElement>("[data-traced]");
    if (!says) continue;
    const { outline, unitsPerMM } = tracedAt(form, card.dataset["path"] ?? "");
    const measured = outline.length > 0 ? measure(outline, unitsPerMM) : null;
    const words = measured && "mm2" in measured ? `Traced: ${areaWords(measured.mm2)}, ${outline.length} corners.` : "";
    if (says.textContent !== words) says.textContent = words;
  }
}
