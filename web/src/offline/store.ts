// What this device keeps: one database with the sealed entries and, while
// somebody is signed in, one half of the key to them. Nothing in it is readable
// without the other half (key.ts).
import { openDB, type DBSchema, type IDBPDatabase } from "idb";

/** What an entry holds; the words stand in the clear. */
export type Kind = "draft" | "case" | "signed" | "photo";

/** One sealed entry. Only ids and a time stand in the clear. */
export interface Entry {
  /** Kind and id of what it is about, such as "draft/4f0c...". */
  name: string;
  kind: Kind;
  /** The exam's own random id. */
  exam: string;
  /** Which key opens it. */
  key: string;
  /** When it was put there, in milliseconds since 1970. */
  at: number;
  iv: Uint8Array<ArrayBuffer>;
  data: ArrayBuffer;
}

/** The half of the key that lies here while somebody is signed in. */
export interface HeldKey {
  /** Names the key, and is no part of it. */
  id: string;
  /** Cannot be read by any script, this one included. */
  base: CryptoKey;
  /** For how many seconds nobody may touch the device. */
  idle: number;
  /** When the session ends however busy it is, in milliseconds since 1970. */
  until: number;
}

interface Device extends DBSchema {
  entries: { key: string; value: Entry; indexes: { kind: Kind; exam: string } };
  /** "session" holds the key. */
  key: { key: string; value: HeldKey };
  /** "signed-out" says that the practice has not heard of a sign-out yet. */
  note: { key: string; value: true };
}

export const databaseName = "tengram";

let opened: Promise<IDBPDatabase<Device>> | null = null;

/** Opens the database; the same one for the whole page. */
export function openStore(): Promise<IDBPDatabase<Device>> {
  opened ??= openDB<Device>(databaseName, 1, {
    upgrade(db) {
      const entries = db.createObjectStore("entries", { keyPath: "name" });
      entries.createIndex("kind", "kind");
      entries.createIndex("exam", "exam");
      db.createObjectStore("key");
      db.createObjectStore("note");
    },
    blocking: (_old, _new, event) => {
      (event.target as IDBDatabase).close();
      opened = null;
    },
    terminated: () => {
      opened = null;
    },
  });
  return opened;
}

/** Says whether this browser can keep anything safely here: it needs a secure
 *  address (https, or this machine), a database and the browser's own ciphers. */
export function canKeep(): boolean {
  return isSecureContext && "indexedDB" in globalThis && globalThis.crypto?.subtle !== undefined;
}
