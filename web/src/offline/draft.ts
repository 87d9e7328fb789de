// A draft on this device: the answers as they stand on the page, and what the
// practice last said it has. Which of the two goes on is decided here, in the
// open, and never by the clock.
import type { ExamDocument, Json } from "../exam/document";
import type { Vault } from "./vault";

/** What is kept of a draft. */
export interface KeptDraft {
  /** The form as it stands, as JSON text. */
  answers: string;
  /** The fingerprint of the answers that the practice has; "" for none. */
  base: string;
  /** The practice does not have these answers yet. */
  unsent: boolean;
}

/** Which answers go on. */
export type Going = "same" | "device" | "practice" | "ask";

/** The answers in one spelling: names in order, and without the seconds that
 *  the page's own clock counts. Two drafts that say the same have the same. */
export function fingerprint(answers: string): string {
  const document = JSON.parse(answers) as ExamDocument;
  delete document["seconds"];
  return JSON.stringify(ordered(document));
}

function ordered(value: Json): Json {
  if (Array.isArray(value)) return value.map(ordered);
  if (value === null || typeof value !== "object") return value;
  return Object.fromEntries(
    Object.keys(value)
      .sort()
      .map((name) => [name, ordered(value[name] as Json)]),
  );
}

/** Decides between the draft on this device and the one at the practice. Where
 *  both were changed since they last agreed, a person decides. */
export function decide(device: KeptDraft | undefined, practice: string): Going {
  if (!device) return "practice";
  const here = fingerprint(device.answers);
  const there = fingerprint(practice);
  if (here === there) return "same";
  if (!device.unsent) return "practice";
  return there === device.base ? "device" : "ask";
}

/** Keeps the draft of one exam, at every touch. While one state is being
 *  written only the newest of those that come meanwhile is remembered. */
export class Keeper {
  #next: string | null = null;
  #writing: Promise<void> | null = null;
  #base: string;

  constructor(
    readonly vault: Vault,
    readonly exam: string,
    base: string,
    readonly failed: (error: unknown) => void = () => {},
  ) {
    this.#base = base;
  }

  /** Keeps the answers as they stand. */
  keep(answers: string): void {
    this.#next = answers;
    this.#writing ??= this.#write();
  }

  /** The practice has these answers now. */
  confirmed(answers: string, current: string): void {
    this.#base = fingerprint(answers);
    this.keep(current);
  }

  /** Returns once everything that was given is on the disk. */
  async settled(): Promise<void> {
    while (this.#writing) await this.#writing;
  }

  async #write(): Promise<void> {
    while (this.#next !== null) {
      const answers = this.#next;
      this.#next = null;
      try {
        const draft: KeptDraft = { answers, base: this.#base, unsent: fingerprint(answers) !== this.#base };
        await this.vault.put("draft", this.exam, draft);
      } catch (error) {
        this.failed(error);
      }
    }
    this.#writing = null;
  }
}
