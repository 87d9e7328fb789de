// What this device keeps, in sight: a line on every page while something waits
// to be sent, and the list on the page "On this device".
import { nameOf, type Case } from "./case";
import type { KeptDraft } from "./draft";
import { deviceAddress } from "./exam";
import { changed, type Queue, type Signed } from "./queue";
import { lockedAway, type Vault } from "./vault";

/** Shows on any page that signed exams wait. */
export async function startStrip(queue: Queue): Promise<void> {
  const strip = document.createElement("p");
  strip.className = "waiting";
  strip.setAttribute("role", "status");
  document.querySelector("header.top")?.after(strip);
  const show = async () => {
    const list = await queue.list();
    strip.hidden = list.length === 0;
    const link = document.createElement("a");
    link.href = "/device";
    link.textContent = stripWords(list);
    strip.replaceChildren(link);
  };
  addEventListener(changed, () => void show());
  await show();
}

function stripWords(list: Signed[]): string {
  const stuck = list.filter((s) => s.state !== "waiting").length;
  const exams = list.length === 1 ? "1 signed exam waits" : `${list.length} signed exams wait`;
  if (stuck === list.length) return `${exams} for a decision`;
  return stuck === 0 ? `${exams} to be sent` : `${exams} to be sent, ${stuck} of them for a decision`;
}

/** Fills the page "On this device". */
export async function showDevice(page: HTMLElement, vault: Vault | null, queue: Queue | null): Promise<void> {
  // Under another address it stands in for a page that could not be had.
  const instead = page.querySelector<HTMLElement>(".only-offline");
  if (instead) instead.hidden = location.pathname === "/device";
  const signed = part(page, "signed");
  const drafts = part(page, "drafts");
  const locked = part(page, "locked");
  if (!vault || !queue) {
    locked.textContent = lockedWords(await lockedAway(""), true);
    signed.hidden = drafts.hidden = true;
    return;
  }
  const show = async () => {
    const waiting = await queue.list();
    fill(signed, "Signed and not sent yet", waiting.map((s) => signedItem(s, queue)), "Nothing waits to be sent.");
    const kept = await vault.list<KeptDraft>("draft");
    const items = await Promise.all(
      kept.map(async (d) => draftItem(d.exam, d.value, d.at, (await vault.get<Case>("case", d.exam))?.value, vault, show)),
    );
    fill(drafts, "Drafts", items, "No draft is kept here.");
    locked.textContent = lockedWords(await lockedAway(vault.unlocked.id), false);
  };
  addEventListener(changed, () => void show());
  await show();
}

function part(page: HTMLElement, name: string): HTMLElement {
  return page.querySelector<HTMLElement>(`[data-part="${name}"]`) ?? document.createElement("div");
}

function fill(place: HTMLElement, title: string, items: HTMLElement[], none: string): void {
  const heading = document.createElement("h2");
  heading.textContent = title;
  if (items.length === 0) {
    place.replaceChildren(heading, line(none, "quiet"));
    return;
  }
  const list = document.createElement("ul");
  list.className = "device-list";
  list.append(...items);
  place.replaceChildren(heading, list);
}

function signedItem(signed: Signed, queue: Queue): HTMLElement {
  const item = document.createElement("li");
  item.dataset["exam"] = signed.exam;
  item.dataset["state"] = signed.state;
  item.append(line(`${signed.name}, exam of ${timeWords(signed.at)}`, "device-name"));
  const exam = encodeURIComponent(signed.exam);
  switch (signed.state) {
    case "waiting":
      item.append(line("Signed. Waits to be sent."));
      item.append(button("Send now", () => void queue.send(true)));
      break;
    case "conflict":
      item.append(line("Signed here, and on another device before. The practice keeps both; a person decides how they go together."));
      item.append(link("Compare the two", `/exam/${exam}/compare`));
      item.append(button("Both are kept: take it off this list", () => void queue.takeOut(signed.exam)));
      break;
    case "refused":
      item.append(line(`The practice did not take it: ${signed.says}`, "problem"));
      item.append(button("Send again", () => void queue.again(signed.exam)));
      item.append(
        button("Open it as a draft again", async () => {
          await queue.takeOut(signed.exam, asDraft(signed));
          location.assign(deviceAddress(signed.exam, "edit"));
        }),
      );
  }
  return item;
}

/** A refused document as a draft: its answers without what the practice owns. */
function asDraft(signed: Signed): KeptDraft {
  const answers = JSON.parse(signed.text) as Record<string, unknown>;
  for (const own of ["schema", "id", "revision", "amends", "patient", "examiner", "edition"]) delete answers[own];
  return { answers: JSON.stringify(answers), base: "", unsent: true };
}

function draftItem(exam: string, draft: KeptDraft, at: number, of: Case | undefined, vault: Vault, show: () => Promise<void>): HTMLElement {
  const item = document.createElement("li");
  item.dataset["exam"] = exam;
  item.append(line(of ? `${nameOf(of.person)}, exam of ${timeWords(of.exam.at ?? "")}` : "An exam", "device-name"));
  item.append(line(draft.unsent ? `Last touched ${timeWords(new Date(at).toISOString())}. The practice does not have all of it yet.` : "The practice has it as well."));
  item.append(link("Go on with it", draft.unsent ? deviceAddress(exam, "edit") : `/exam/${encodeURIComponent(exam)}/edit`));
  let sure = false;
  const drop = button("Take it off this device", async () => {
    if (draft.unsent && !sure) {
      sure = true;
      drop.textContent = "Take it off: what was not sent is gone then";
      return;
    }
    await vault.dropExam(exam);
    await show();
  });
  item.append(drop);
  return item;
}

function lockedWords(away: { drafts: number; signed: number }, nobody: boolean): string {
  const count = away.drafts + away.signed;
  if (count === 0) return nobody ? "Nothing is kept on this device." : "";
  const what = `${counted(away.signed, "signed exam")} and ${counted(away.drafts, "draft")}`;
  return nobody
    ? `${what} are kept here, locked. They open when the person who recorded them signs in.`
    : `${what} of somebody else are kept here, locked. They open when that person signs in.`;
}

function counted(n: number, word: string): string {
  return n === 1 ? `1 ${word}` : `${n} ${word}s`;
}

function timeWords(at: string): string {
  const time = new Date(at);
  return Number.isNaN(time.valueOf()) ? "an unknown time" : time.toLocaleString([], { dateStyle: "medium", timeStyle: "short" });
}

function line(words: string, name = ""): HTMLElement {
  const p = document.createElement("p");
  p.textContent = words;
  p.className = name;
  return p;
}

function link(words: string, to: string): HTMLElement {
  const a = document.createElement("a");
  a.className = "button quiet";
  a.href = to;
  a.textContent = words;
  return a;
}

function button(words: string, act: () => void | Promise<void>): HTMLButtonElement {
  const b = document.createElement("button");
  b.type = "button";
  b.className = "button quiet";
  b.textContent = words;
  b.addEventListener("click", () => void act());
  return b;
}
