// From the controls of the exam form to the exam document. Each control is
// named by the path of its answer, such as "right.test.filament.hallux"; the
// server goes the same way in internal/web/examform.go. Names that begin with
// "-" steer the page and are no part of the document.

export type Json = string | number | Json[] | { [name: string]: Json };
export type ExamDocument = { [name: string]: Json };

/** How the text of a control becomes JSON; the page says so in data-kind. */
export type Kind = "word" | "number" | "words" | "numbers";

/** What an empty row of a list carries: which row it is, not what was seen. */
const blankKeys = new Set(["id", "side"]);

/** A branch of the document while it is being put together. */
type Branch = Map<string, Branch | Json>;

/** Reads the form as it stands into an exam document. */
export function documentOf(form: HTMLFormElement): ExamDocument {
  const root: Branch = new Map();
  for (const [path, values] of valuesOf(form)) put(root, path.split("."), leaf(kindOf(form, path), values));
  return objectOf(root);
}

/** The values that are filled in, by path. */
export function valuesOf(form: HTMLFormElement): Map<string, string[]> {
  const found = new Map<string, string[]>();
  for (const [path, value] of new FormData(form)) {
    if (path === "" || path.startsWith("-") || typeof value !== "string" || value === "") continue;
    found.set(path, [...(found.get(path) ?? []), value]);
  }
  return found;
}

/** The kinds that were looked up: a path keeps its kind, and looking takes long. */
const kinds = new Map<string, Kind>();

function kindOf(form: HTMLFormElement, path: string): Kind {
  let kind = kinds.get(path);
  if (!kind) kinds.set(path, (kind = lookUpKind(form, path)));
  return kind;
}

function lookUpKind(form: HTMLFormElement, path: string): Kind {
  const named = form.elements.namedItem(path);
  const control = named instanceof RadioNodeList ? named[0] : named;
  const holder = control instanceof Element ? control.closest<HTMLElement>("[data-kind]") : null;
  return (holder?.dataset["kind"] as Kind | undefined) ?? "word";
}

function leaf(kind: Kind, values: string[]): Json {
  switch (kind) {
    case "words":
      return values;
    case "numbers":
      return values.map(number);
    case "number":
      // A number and a reason at once stay two values: the server says so at
      // the field.
      return values.length === 1 ? number(values[0] ?? "") : values;
    default:
      return values.length === 1 ? (values[0] ?? "") : values;
  }
}

/** A number where it is written as one; otherwise the text, to be refused. */
function number(text: string): Json {
  const trimmed = text.trim();
  return /^-?\d+(\.\d+)?$/.test(trimmed) ? Number(trimmed) : trimmed;
}

function put(branch: Branch, path: string[], value: Json): void {
  const [first = "", ...rest] = path;
  if (rest.length === 0) {
    branch.set(first, value);
    return;
  }
  let next = branch.get(first);
  if (!(next instanceof Map)) {
    next = new Map();
    branch.set(first, next);
  }
  put(next, rest, value);
}

function objectOf(branch: Branch): ExamDocument {
  const made: ExamDocument = {};
  for (const [name, value] of branch) made[name] = value instanceof Map ? listOrObject(value) : value;
  return made;
}

/** Names that are all numbers are the places of a list; empty rows fall out. */
function listOrObject(branch: Branch): Json {
  const names = [...branch.keys()];
  if (!names.every((name) => /^\d+$/.test(name))) return objectOf(branch);
  return names
    .sort((a, b) => Number(a) - Number(b))
    .map((name) => branch.get(name))
    .filter((row): row is Branch => row instanceof Map && [...row.keys()].some((key) => !blankKeys.has(key)))
    .map(objectOf);
}
