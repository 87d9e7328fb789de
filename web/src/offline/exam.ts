// The exam page on a device: every touch is kept here as well as at the
// practice, and what cannot be kept there goes on from here.
import type { Device, Live } from "../exam/live";
import { fetchCase, type Case } from "./case";
import { decide, fingerprint, Keeper, type KeptDraft } from "./draft";
import { canJudge, drawParts, isWarm, warm } from "./kernel";
import type { Queue } from "./queue";
import type { Vault } from "./vault";

/** Where a page of an exam is shown from what this device keeps. */
export function deviceAddress(exam: string, page: "edit" | "sign"): string {
  return `/exam/${encodeURIComponent(exam)}/${page}?device`;
}

/** Begins to keep the exam of a form. known is its case where the page was
 *  drawn from it. */
export async function keepExam(live: Live, vault: Vault, queue: Queue, known: Case | null): Promise<Keeper | null> {
  const exam = live.form.dataset["exam"] ?? "";
  if (await queue.of(exam)) {
    // Signed here already, and not sent yet: the list says so.
    location.replace("/device");
    return null;
  }
  const kept = (await vault.get<KeptDraft>("draft", exam))?.value;
  let of = known;
  let base = kept?.base ?? "";
  if (!known) {
    const going = decide(kept, live.first);
    if (going === "device" && kept) return goOnHere(exam, kept);
    if (going === "ask" && kept && !(await asked(live.form, exam, kept, live.first))) return null;
    base = fingerprint(live.first);
    of = await takeCase(exam, vault);
  }
  const keeper = new Keeper(vault, exam, base, () => live.say("This device could not keep the last answer: look whether it has room left."));
  const here = new Here(keeper, of);
  live.device = here;
  if (live.text() !== live.first || known) keeper.keep(live.text());
  startForms(live, here, exam);
  void alone(live.form, exam);
  navigator.storage?.persist?.().catch(() => {}); // a browser that is short of room lets others go first
  if (canJudge()) warm().catch(() => {}); // it is asked for again when it is needed
  return keeper;
}

/** Says so where the same exam is open on another page of this browser. */
async function alone(form: HTMLFormElement, exam: string): Promise<void> {
  await navigator.locks?.request(`tengram-exam-${exam}`, { ifAvailable: true }, (lock) => {
    if (lock) return new Promise(() => {}); // until the page goes
    const note = document.createElement("p");
    note.className = "device-ask";
    note.setAttribute("role", "status");
    note.textContent = "This exam is open on another page of this browser too. Go on in one of them: what is touched last is kept.";
    form.before(note);
    return undefined;
  });
}

/** Takes the case of the exam along, for when the network goes. */
async function takeCase(exam: string, vault: Vault): Promise<Case | null> {
  try {
    const of = await fetchCase(exam);
    if (of) await vault.put("case", exam, of);
    return of;
  } catch {
    return (await vault.get<Case>("case", exam))?.value ?? null;
  }
}

/** What the live page asks of the device. */
class Here implements Device {
  constructor(
    readonly keeper: Keeper,
    readonly of: Case | null,
  ) {}

  keep(text: string): void {
    this.keeper.keep(text);
  }

  confirmed(text: string, current: string): void {
    this.keeper.confirmed(text, current);
  }

  judges(): boolean {
    return this.of !== null && isWarm();
  }

  parts(text: string): Promise<string> {
    return this.of ? drawParts(this.of, text) : Promise.reject(new Error("the case is not here"));
  }
}

/** Signing and throwing away first settle what is kept here. */
function startForms(live: Live, here: Here, exam: string): void {
  const { keeper } = here;
  live.form.addEventListener("submit", async (event) => {
    const button = event.submitter;
    if (!(button instanceof HTMLButtonElement) || button.value !== "sign") return;
    event.preventDefault();
    keeper.keep(live.text());
    await keeper.settled();
    if (await live.keepNow()) location.assign(`/exam/${encodeURIComponent(exam)}/sign`);
    else if (here.judges()) location.assign(deviceAddress(exam, "sign"));
    else live.say("No connection, and this device has not taken along all it needs to sign: stay on this page and sign once the practice is in reach.");
  });
  const drop = document.querySelector<HTMLFormElement>("form.drop");
  drop?.addEventListener("submit", async (event) => {
    event.preventDefault();
    await keeper.settled();
    await keeper.vault.dropExam(exam);
    drop.submit();
  });
}

/** The answers here are newer and nobody else changed the draft: the page is
 *  drawn from them. */
async function goOnHere(exam: string, kept: KeptDraft): Promise<null> {
  if (canJudge() && navigator.serviceWorker?.controller) {
    location.replace(deviceAddress(exam, "edit"));
    return null;
  }
  const sent = await fetch(`/exam/${encodeURIComponent(exam)}/draft`, {
    method: "PUT",
    body: kept.answers,
    headers: { "Content-Type": "application/json" },
  });
  if (sent.ok) location.reload();
  return null;
}

/** The draft was changed here and at the practice since both last agreed. A
 *  person says which goes on; until then nothing is kept over the other. */
function asked(form: HTMLFormElement, exam: string, kept: KeptDraft, there: string): Promise<boolean> {
  const template = document.createElement("div");
  template.className = "device-ask";
  template.setAttribute("role", "alert");
  const says = document.createElement("p");
  says.textContent = `This device has answers that were never sent, and the draft at the practice was changed since. ${differing(kept.answers, there)} Which goes on? The other is then gone.`;
  const buttons = document.createElement("p");
  template.append(says, buttons);
  return new Promise((resolve) => {
    const choice = (words: string, chosen: () => void) => {
      const button = document.createElement("button");
      button.type = "button";
      button.className = "button quiet";
      button.textContent = words;
      button.addEventListener("click", () => {
        template.remove();
        chosen();
      });
      buttons.append(button, " ");
    };
    choice("Go on with the answers on this device", () => {
      void goOnHere(exam, kept);
      resolve(false);
    });
    choice("Go on with the answers at the practice", () => resolve(true));
    form.before(template);
  });
}

/** How many answers differ. */
function differing(here: string, there: string): string {
  const a = leaves(JSON.parse(fingerprint(here)));
  const b = leaves(JSON.parse(fingerprint(there)));
  const names = new Set([...a.keys(), ...b.keys()]);
  const count = [...names].filter((name) => a.get(name) !== b.get(name)).length;
  return count === 1 ? "1 answer differs." : `${count} answers differ.`;
}

function leaves(value: unknown, path = "", found = new Map<string, string>()): Map<string, string> {
  if (value !== null && typeof value === "object") {
    for (const [name, part] of Object.entries(value)) leaves(part, `${path}.${name}`, found);
  } else {
    found.set(path, String(value));
  }
  return found;
}
