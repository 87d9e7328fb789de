// The queue of signed exams. A signed exam is kept here exactly as it was
// signed, is sent until the practice has confirmed that very revision and those
// very bytes, and only then leaves. Its key makes the practice do it once,
// however often it is sent. What the practice refuses stays, in sight, for a
// person to decide about.
import { nameOf, type Case } from "./case";
import type { Opened, Vault } from "./vault";

/** Where a signed exam stands. */
export type State =
  | "waiting" // to be sent, or sent without an answer yet
  | "conflict" // the practice has another revision; it keeps both
  | "refused"; // the practice cannot take it as it is

/** One signed exam in the queue. */
export interface Signed {
  /** The idempotency key of this signature. */
  key: string;
  exam: string;
  revision: number;
  /** The document, byte for byte as it is sent. */
  text: string;
  /** SHA-256 of its bytes in UTF-8, in hexadecimal. */
  sha256: string;
  /** The name of the person, and the time of the exam, for the list. */
  name: string;
  at: string;
  state: State;
  /** What the practice said. */
  says: string;
}

/** What the practice answers once it has the exam. */
interface Confirmed {
  exam: string;
  revision: number;
  sha256: string;
}

/** What became of one attempt. */
export type Outcome = "sent" | "waiting" | "sign-in" | State;

/** The pause before the next attempt: doubles from two seconds to five minutes,
 *  with a fifth of chance in it, so that devices do not come back all at once. */
export function pause(failures: number, chance = Math.random()): number {
  const base = Math.min(2000 * 2 ** Math.min(failures, 20), 300_000);
  return Math.round(base * (0.9 + 0.2 * chance));
}

/** The queue changed; pages that show it look again. */
export const changed = "tengram:queue";

export async function digest(text: string): Promise<string> {
  const sum = await crypto.subtle.digest("SHA-256", new TextEncoder().encode(text));
  return [...new Uint8Array(sum)].map((b) => b.toString(16).padStart(2, "0")).join("");
}

export class Queue {
  #failures = 0;
  #clock: ReturnType<typeof setTimeout> | undefined;

  constructor(readonly vault: Vault) {}

  /** Puts a signed document in, and its draft out, in one step. The same
   *  revision again changes nothing. */
  async sign(of: Case, text: string): Promise<Signed> {
    const revision = (JSON.parse(text) as { revision: number }).revision;
    const there = await this.of(of.exam.id);
    if (there) return there;
    const signed: Signed = {
      key: crypto.randomUUID(),
      exam: of.exam.id,
      revision,
      text,
      sha256: await digest(text),
      name: nameOf(of.person),
      at: of.exam.at ?? "",
      state: "waiting",
      says: "",
    };
    await this.vault.write({
      put: [{ kind: "signed", exam: signed.exam, value: signed }],
      drop: [{ kind: "draft", exam: signed.exam }],
    });
    tell();
    return signed;
  }

  /** The signed revision of an exam that waits here. */
  async of(exam: string): Promise<Signed | undefined> {
    return (await this.vault.get<Signed>("signed", exam))?.value;
  }

  /** Everything that waits here, in the order in which it was signed. */
  async list(): Promise<Signed[]> {
    return (await this.vault.list<Signed>("signed")).map((entry: Opened<Signed>) => entry.value);
  }

  /** Sends what waits, one after the other, from one page of the browser at a
   *  time. Says what became of each. anew: somebody asked for it, or the network
   *  is back, and the pauses begin from the shortest. */
  async send(anew = false): Promise<Map<string, Outcome>> {
    clearTimeout(this.#clock);
    if (anew) this.#failures = 0;
    const outcomes = new Map<string, Outcome>();
    let lost = false;
    await alone(async () => {
      for (const signed of await this.list()) {
        if (signed.state !== "waiting") continue;
        const outcome = await this.#sendOne(signed);
        outcomes.set(signed.exam, outcome);
        if (outcome === "sign-in") break;
        lost ||= outcome === "waiting";
      }
    });
    if (lost) {
      this.#clock = setTimeout(() => void this.send(), pause(this.#failures++));
    } else {
      this.#failures = 0;
    }
    return outcomes;
  }

  /** Ends trying again by itself. */
  stop(): void {
    clearTimeout(this.#clock);
  }

  /** Sends one that the practice refused before once more. */
  async again(exam: string): Promise<void> {
    const signed = await this.of(exam);
    if (!signed) return;
    await this.#keep({ ...signed, state: "waiting", says: "" });
    await this.send(true);
  }

  /** Takes a document out that a person has decided about: the practice keeps
   *  both of a conflict, or what was refused goes on as a draft. */
  async takeOut(exam: string, draft?: unknown): Promise<void> {
    await this.vault.write({
      put: draft === undefined ? [] : [{ kind: "draft", exam, value: draft }],
      drop: [{ kind: "signed", exam }],
    });
    tell();
  }

  async #sendOne(signed: Signed): Promise<Outcome> {
    let answer: Response;
    try {
      answer = await fetch(`/exam/${encodeURIComponent(signed.exam)}/signed`, {
        method: "POST",
        body: signed.text,
        headers: { "Content-Type": "application/json", Accept: "application/json", "Idempotency-Key": signed.key },
        redirect: "manual",
      });
    } catch {
      return "waiting";
    }
    if (answer.ok) return this.#confirm(signed, answer);
    if (answer.status === 401) return "sign-in";
    const says = await saidBy(answer);
    if (answer.status === 409) {
      await this.#keep({ ...signed, state: "conflict", says });
      return "conflict";
    }
    if (answer.status >= 400 && answer.status < 500 && answer.status !== 408 && answer.status !== 429) {
      await this.#keep({ ...signed, state: "refused", says });
      return "refused";
    }
    return "waiting";
  }

  /** A signed exam leaves only when the practice names its revision and its
   *  bytes. */
  async #confirm(signed: Signed, answer: Response): Promise<Outcome> {
    let confirmed: Confirmed;
    try {
      confirmed = (await answer.json()) as Confirmed;
    } catch {
      return "waiting"; // half an answer is none
    }
    if (confirmed.exam === signed.exam && confirmed.revision === signed.revision && confirmed.sha256 === signed.sha256) {
      await this.takeOut(signed.exam);
      await this.vault.dropExam(signed.exam);
      return "sent";
    }
    await this.#keep({ ...signed, state: "refused", says: "The practice confirmed another document than this one." });
    return "refused";
  }

  async #keep(signed: Signed): Promise<void> {
    await this.vault.put("signed", signed.exam, signed);
    tell();
  }
}

function tell(): void {
  dispatchEvent(new Event(changed));
}

async function saidBy(answer: Response): Promise<string> {
  try {
    return ((await answer.json()) as { says?: string }).says ?? "";
  } catch {
    return `The practice answered ${answer.status}.`;
  }
}

/** Runs a job unless another page of this browser is at it. */
async function alone(job: () => Promise<void>): Promise<void> {
  const locks = globalThis.navigator?.locks;
  if (!locks) return job();
  await locks.request("tengram-queue", { ifAvailable: true }, async (lock) => {
    if (lock) await job();
  });
}
