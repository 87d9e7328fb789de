// The key to what this device keeps. The practice gives it out for as long as
// somebody is signed in, and the same account gets the same key again. Half of
// it lies in the database, as a key that no script can read; the other half is
// a cookie that the browser itself forgets once the device was left untouched
// for too long. Both are needed, and both go when somebody signs out.
// docs/offline.md weighs this against the other ways.
import { canKeep, openStore, type HeldKey } from "./store";

/** An open lock. */
export interface Unlocked {
  id: string;
  key: CryptoKey;
}

/** What GET /device/key answers. */
interface Given {
  id: string;
  secret: string;
  half: string;
  idle: number;
  until: number;
}

const cookieName = "tengram-device";
const purpose = new TextEncoder().encode("tengram vault 1");

/** Other pages of this browser hear when the key goes. */
const channel = "BroadcastChannel" in globalThis ? new BroadcastChannel("tengram-key") : null;

let unlocked: Promise<Unlocked | null> | null = null;
let held: HeldKey | null = null;
let lastTouch = 0;

/** The key that is here, or null where nobody is signed in any more. */
export function unlock(): Promise<Unlocked | null> {
  unlocked ??= read();
  return unlocked;
}

async function read(): Promise<Unlocked | null> {
  if (!canKeep()) return null;
  const db = await openStore();
  const found = await db.get("key", "session");
  const half = cookieHalf();
  if (!found) return null;
  if (!half || Date.now() >= found.until) {
    // The browser has forgotten the other half: this one is of no use.
    await db.delete("key", "session");
    return null;
  }
  held = found;
  return open(found, half);
}

/** Asks the practice for the key of who is signed in. Null where nobody is, or
 *  where the practice cannot be reached and no key is here. */
export async function acquire(): Promise<Unlocked | null> {
  if (!canKeep() || !(await toldSignedOut())) return null;
  let answer: Response;
  try {
    answer = await fetch("/device/key", { headers: { Accept: "application/json" }, redirect: "manual" });
  } catch {
    return unlock();
  }
  if (!answer.ok) {
    if (answer.status === 401) await forget();
    return null;
  }
  const given = (await answer.json()) as Given;
  const here = await unlock();
  if (here?.id === given.id && held) {
    held = { ...held, idle: given.idle, until: given.until };
    await (await openStore()).put("key", held, "session");
    touch(true);
    return here;
  }
  const base = await crypto.subtle.importKey("raw", bytes(given.secret), "HKDF", false, ["deriveKey"]);
  held = { id: given.id, base, idle: given.idle, until: given.until };
  setCookie(given.half);
  if (!cookieValue()) {
    held = null;
    return null; // a browser that keeps no cookie of a page keeps no drafts
  }
  await (await openStore()).put("key", held, "session");
  unlocked = open(held, bytes(given.half));
  return unlocked;
}

/** Somebody signed out while the practice was out of reach: until it has heard
 *  of that, no key is asked for. */
async function toldSignedOut(): Promise<boolean> {
  const db = await openStore();
  if (!(await db.get("note", "signed-out"))) return true;
  try {
    await fetch("/sign-out", { method: "POST" });
  } catch {
    return false;
  }
  await db.delete("note", "signed-out");
  return true;
}

async function open(from: HeldKey, half: Uint8Array<ArrayBuffer>): Promise<Unlocked> {
  const derivation = { name: "HKDF", hash: "SHA-256", salt: half, info: purpose };
  const cipher = { name: "AES-GCM", length: 256 };
  const key = await crypto.subtle.deriveKey(derivation, from.base, cipher, false, ["encrypt", "decrypt"]);
  return { id: from.id, key };
}

/** Somebody touched the page: the device stays open for another while. */
export function touch(now = false): void {
  if (!held || (!now && Date.now() - lastTouch < 15_000)) return;
  const half = cookieValue();
  if (half) setCookie(half);
}

/** Says whether the key that was here has gone: nobody touched the device for
 *  too long, or somebody signed out. */
export function isOver(): boolean {
  return held !== null && (!cookieValue() || Date.now() >= held.until);
}

/** Throws the key away: here, in the database, and in the other pages. */
export async function forget(tell = true): Promise<void> {
  document.cookie = `${cookieName}=; Max-Age=0; Path=/; SameSite=Strict`;
  unlocked = Promise.resolve(null);
  held = null;
  if (tell) channel?.postMessage("over");
  if (canKeep()) await (await openStore()).delete("key", "session");
}

/** Calls back when another page threw the key away. */
export function whenOver(call: () => void): void {
  channel?.addEventListener("message", call);
}

function setCookie(half: string): void {
  if (!held) return;
  lastTouch = Date.now();
  const left = Math.min(held.idle, Math.floor((held.until - Date.now()) / 1000));
  const secure = location.protocol === "https:" ? "; Secure" : "";
  document.cookie = `${cookieName}=${half}; Max-Age=${Math.max(0, left)}; Path=/; SameSite=Strict${secure}`;
}

function cookieValue(): string {
  const found = document.cookie.split("; ").find((c) => c.startsWith(`${cookieName}=`));
  return found ? found.slice(cookieName.length + 1) : "";
}

function cookieHalf(): Uint8Array<ArrayBuffer> | null {
  const value = cookieValue();
  return value ? bytes(value) : null;
}

/** Reads base64url. */
function bytes(text: string): Uint8Array<ArrayBuffer> {
  const raw = atob(text.replaceAll("-", "+").replaceAll("_", "/"));
  return Uint8Array.from(raw, (c) => c.charCodeAt(0));
}
