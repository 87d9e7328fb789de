// The live page: after each answer the draft is judged, and kept by the server.
// What cannot be kept now is kept as soon as it can; until then the page says
// so. A device that keeps the draft itself (offline/exam.ts) is told of every
// answer, and judges it with the kernel once that is loaded. Until then, and in
// a browser that cannot run it, the server judges and answers the same.
import { documentOf } from "./document";
import { recorded, showProtocol } from "./answers";

const judgeAfter = 150;
const keepAfter = 700;
const tryAgainAfter = 4000;

/** The parts of the page that a preview answers with. */
const parts = ["flags", "gist", "result"];

/** What a device does for the page. */
export interface Device {
  /** Keeps the answers as they stand. */
  keep(text: string): void;
  /** The server has these answers now; current are those on the page. */
  confirmed(text: string, current: string): void;
  /** Whether the kernel is here and judges at once. */
  judges(): boolean;
  /** Draws the parts of the page that follow from the answers. */
  parts(text: string): Promise<string>;
}

export class Live {
  /** The device, once it is ready. */
  device: Device | null = null;
  /** The answers as the page came. */
  readonly first: string;
  /** The answers as of the last touch: reading a long form takes a while. */
  #now: string;
  #judgeClock = 0;
  #keepClock = 0;
  #judging = new AbortController();
  #kept = "";
  #keeping = false;

  constructor(
    readonly form: HTMLFormElement,
    readonly address: string,
    /** The page was drawn from answers that the server may not have. */
    unsent = false,
  ) {
    this.first = this.#now = this.text();
    this.#kept = unsent ? "" : this.first;
    if (unsent) this.#keepClock = window.setTimeout(() => void this.#keep(), keepAfter);
    addEventListener("pagehide", () => this.#keepLast());
    addEventListener("online", () => void this.#keep());
  }

  /** Call after every change of an answer. */
  changed(): void {
    this.#now = this.text();
    this.device?.keep(this.#now);
    clearTimeout(this.#judgeClock);
    clearTimeout(this.#keepClock);
    this.#judgeClock = window.setTimeout(() => void this.#judge(), judgeAfter);
    this.#keepClock = window.setTimeout(() => void this.#keep(), keepAfter);
  }

  /** The answers as they stand. */
  text(): string {
    return JSON.stringify(documentOf(this.form));
  }

  #send(path: string, method: string, body: string, more: RequestInit = {}): Promise<Response> {
    return fetch(this.address + path, { method, body, headers: { "Content-Type": "application/json" }, ...more });
  }

  async #judge(): Promise<void> {
    this.#judging.abort();
    this.#judging = new AbortController();
    const { signal } = this.#judging;
    const text = this.#now;
    const here = (): Promise<string> => this.device?.parts(text) ?? Promise.reject(new Error("no device"));
    const there = async (): Promise<string> => {
      const answer = await this.#send("/preview", "POST", text, { signal });
      if (!answer.ok) throw new Error(`the practice answered ${answer.status}`);
      return answer.text();
    };
    for (const judge of this.device?.judges() ? [here, there] : [there, here]) {
      try {
        const drawn = await judge();
        if (!signal.aborted) show(drawn, this.form);
        return;
      } catch {
        // A newer answer came first, or this one cannot judge now: the other is
        // asked. If neither can, the result stays as it was until one can.
      }
      if (signal.aborted) return;
    }
  }

  /** Keeps what is not kept yet, and says whether the server has it all. */
  async keepNow(): Promise<boolean> {
    this.#now = this.text();
    clearTimeout(this.#keepClock);
    while (this.#keeping) await new Promise((resolve) => setTimeout(resolve, 20));
    await this.#keep();
    return this.#now === this.#kept;
  }

  /** Says where the draft is. */
  say(words: string): void {
    say(words);
  }

  async #keep(): Promise<void> {
    const text = this.#now;
    if (this.#keeping || text === this.#kept) return;
    this.#keeping = true;
    try {
      const answer = await this.#send("/draft", "PUT", text);
      if (answer.ok) {
        this.#kept = text;
        this.device?.confirmed(text, this.#now);
        say(`Draft kept ${clockTime()}.`);
      } else if (answer.status === 404) {
        this.#kept = text;
        say("This draft was signed or thrown away elsewhere: nothing more is kept here.");
      } else if (answer.status === 403) {
        say(`${this.#here()} Nobody is signed in any more. Sign in in another tab; this page stays.`);
      } else {
        say(`${this.#here()} The practice answered ${answer.status}; it is tried again.`);
      }
    } catch {
      say(`${this.#here()} No connection; it is tried again.`);
    }
    this.#keeping = false;
    if (this.#now !== this.#kept) {
      clearTimeout(this.#keepClock);
      this.#keepClock = window.setTimeout(() => void this.#keep(), tryAgainAfter);
    }
  }

  /** Where the answers are while the server does not have them. */
  #here(): string {
    return this.device ? "Kept on this device." : "Not kept yet, it stays on this page.";
  }

  /** A page that goes away sends what is not kept yet. */
  #keepLast(): void {
    const text = this.text();
    if (text !== this.#kept) void this.#send("/draft", "PUT", text, { keepalive: true }).catch(() => {});
  }
}

function clockTime(): string {
  return new Date().toLocaleTimeString([], { hour: "2-digit", minute: "2-digit" });
}

function say(words: string): void {
  const kept = document.getElementById("kept");
  if (kept && kept.textContent !== words) kept.textContent = words;
}

/** Puts the answered parts in place; what was opened stays open. */
function show(html: string, form: HTMLFormElement): void {
  const fresh = new DOMParser().parseFromString(html, "text/html");
  for (const id of parts) {
    const old = document.getElementById(id);
    const made = fresh.getElementById(id);
    if (!old || !made || old.innerHTML === made.innerHTML) continue;
    const open = new Map([...old.querySelectorAll<HTMLDetailsElement>("details[id]")].map((d) => [d.id, d.open]));
    const focused = old.contains(document.activeElement) ? document.activeElement?.closest("details")?.id : undefined;
    old.replaceChildren(...made.childNodes);
    for (const details of old.querySelectorAll<HTMLDetailsElement>("details[id]")) {
      details.open = open.get(details.id) ?? details.open;
      if (details.id === focused) details.querySelector("summary")?.focus();
    }
  }
  showGone(form);
  showProtocol(form);
  showProblems();
}

/** Hides the questions about what amputation has taken away. */
function showGone(form: HTMLFormElement): void {
  const gone = new Set((document.getElementById("gone")?.dataset["gone"] ?? "").split(" "));
  for (const note of form.querySelectorAll<HTMLElement>("[data-gone-note]")) {
    const path = note.dataset["goneNote"] ?? "";
    const cell = document.getElementById(`f-${path}`);
    if (!cell) continue;
    cell.hidden = gone.has(path) && (cell.hidden || !recorded(form, path));
    note.hidden = !cell.hidden;
  }
}

/** Says what is wrong at the field itself. */
function showProblems(): void {
  for (const place of document.querySelectorAll(".field-problems")) {
    if (place.childElementCount > 0) place.replaceChildren();
  }
  for (const problem of document.querySelectorAll<HTMLElement>("[data-problem]")) {
    const place = document.getElementById(`f-${problem.dataset["problem"]}-problems`);
    if (!place) continue;
    const line = document.createElement("p");
    line.className = problem.dataset["blocks"] === "yes" ? "problem" : "problem problem-soft";
    line.textContent = problem.dataset["says"] ?? "";
    place.append(line);
  }
}
