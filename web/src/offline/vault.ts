// The vault: entries sealed with AES-GCM, each bound to its own name, so that
// none can be read without the key, changed, or put in another's place.
import type { Unlocked } from "./key";
import { openStore, type Entry, type Kind } from "./store";

/** An entry as it is read. */
export interface Opened<T> {
  exam: string;
  at: number;
  value: T;
}

/** What is to be written together: all of it, or nothing. */
export interface Change {
  put?: { kind: Kind; exam: string; part?: string; value: unknown }[];
  drop?: { kind: Kind; exam: string; part?: string }[];
}

const text = new TextEncoder();
const words = new TextDecoder();

/** The name of an entry; part tells several of one exam apart. */
function nameOf(kind: Kind, exam: string, part = ""): string {
  return part ? `${kind}/${exam}/${part}` : `${kind}/${exam}`;
}

export class Vault {
  constructor(readonly unlocked: Unlocked) {}

  /** Writes and drops in one transaction, and is on the disk when it returns. */
  async write(change: Change): Promise<void> {
    // Sealing waits, and a transaction would end while it does: seal first.
    const sealed = await Promise.all((change.put ?? []).map((p) => this.#seal(p.kind, p.exam, p.part ?? "", p.value)));
    const db = await openStore();
    const tx = db.transaction("entries", "readwrite", { durability: "strict" });
    for (const entry of sealed) void tx.store.put(entry);
    for (const d of change.drop ?? []) void tx.store.delete(nameOf(d.kind, d.exam, d.part));
    await tx.done;
  }

  /** Puts one entry in, in the place of an older one. */
  put(kind: Kind, exam: string, value: unknown, part = ""): Promise<void> {
    return this.write({ put: [{ kind, exam, part, value }] });
  }

  /** Reads one entry; undefined where there is none that this key opens. */
  async get<T>(kind: Kind, exam: string, part = ""): Promise<Opened<T> | undefined> {
    const entry = await (await openStore()).get("entries", nameOf(kind, exam, part));
    return entry && entry.key === this.unlocked.id ? this.#open<T>(entry) : undefined;
  }

  /** Lists the entries of a kind that this key opens, oldest first. */
  async list<T>(kind: Kind): Promise<Opened<T>[]> {
    const entries = await (await openStore()).getAllFromIndex("entries", "kind", kind);
    const mine = entries.filter((e) => e.key === this.unlocked.id).sort((a, b) => a.at - b.at);
    return Promise.all(mine.map((e) => this.#open<T>(e)));
  }

  /** Drops everything of an exam, except what waits to be sent. */
  async dropExam(exam: string): Promise<void> {
    const db = await openStore();
    const tx = db.transaction("entries", "readwrite", { durability: "strict" });
    for (const entry of await tx.store.index("exam").getAll(exam)) {
      if (entry.kind !== "signed" && entry.key === this.unlocked.id) void tx.store.delete(entry.name);
    }
    await tx.done;
  }

  async #seal(kind: Kind, exam: string, part: string, value: unknown): Promise<Entry> {
    const name = nameOf(kind, exam, part);
    const iv = crypto.getRandomValues(new Uint8Array(12));
    const plain = value instanceof Uint8Array ? (value as Uint8Array<ArrayBuffer>) : text.encode(JSON.stringify(value));
    const data = await crypto.subtle.encrypt({ name: "AES-GCM", iv, additionalData: text.encode(name) }, this.unlocked.key, plain);
    return { name, kind, exam, key: this.unlocked.id, at: Date.now(), iv, data };
  }

  async #open<T>(entry: Entry): Promise<Opened<T>> {
    const how = { name: "AES-GCM", iv: entry.iv, additionalData: text.encode(entry.name) };
    const plain = await crypto.subtle.decrypt(how, this.unlocked.key, entry.data);
    const value = entry.kind === "photo" ? new Uint8Array(plain) : JSON.parse(words.decode(plain));
    return { exam: entry.exam, at: entry.at, value: value as T };
  }
}

/** Counts the entries that another key opens: drafts and signed exams of
 *  somebody who is not signed in now. */
export async function lockedAway(keyID: string): Promise<{ drafts: number; signed: number }> {
  const entries = (await (await openStore()).getAll("entries")).filter((e) => e.key !== keyID);
  return {
    drafts: entries.filter((e) => e.kind === "draft").length,
    signed: entries.filter((e) => e.kind === "signed").length,
  };
}
