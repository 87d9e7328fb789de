// The service worker: keeps the program's own files and two empty pages, so
// that a page opens without the network. It keeps no page that names a person;
// what is about people lies sealed in the vault (offline/vault.ts).
import { openStore } from "./offline/store";

declare const self: ServiceWorkerGlobalScope & { tengramBuild?: string };

/** The server puts the name of the build in front of this file, so that a new
 *  one replaces it. */
const build = self.tengramBuild ?? "unknown";
const prefix = "tengram-";
const cacheName = prefix + build;

/** Pages without a person in them, which the kernel fills. */
const examShell = "/exam/shell";
const devicePage = "/device";
const manifest = "/static/manifest.json";

/** Large files that no page needs at once; they come when they are asked for. */
const later = new Set(["kernel.wasm.gz"]);

/** What something between this device and the practice says when it cannot
 *  reach it. */
const unreachable = new Set([502, 503, 504]);

/** How long a page of an exam may take before the one kept here is shown. */
const patience = 6000;

self.addEventListener("install", (event) => {
  event.waitUntil(
    (async () => {
      const cache = await caches.open(cacheName);
      const answer = await fetch(manifest, { cache: "no-cache" });
      const names = (await answer.clone().json()) as Record<string, string>;
      await cache.put(manifest, answer);
      const files = Object.entries(names).filter(([name]) => !later.has(name) && name !== "sw.js");
      await cache.addAll([...files.map(([, file]) => `/static/${file}`), examShell, devicePage]);
      await self.skipWaiting();
    })(),
  );
});

self.addEventListener("activate", (event) => {
  event.waitUntil(
    (async () => {
      // The build before this one stays for the pages that are open.
      const ours = (await caches.keys()).filter((name) => name.startsWith(prefix) && name !== cacheName);
      await Promise.all(ours.slice(0, -1).map((name) => caches.delete(name)));
      await self.clients.claim();
    })(),
  );
});

self.addEventListener("fetch", (event) => {
  const { request } = event;
  const url = new URL(request.url);
  if (request.method !== "GET" || url.origin !== self.location.origin) return;
  if (url.pathname === manifest) event.respondWith(freshOrKept(request));
  else if (url.pathname.startsWith("/static/")) event.respondWith(keptOrFresh(request));
  else if (request.mode === "navigate") event.respondWith(page(request, url));
});

/** The name of a file holds a hash of what is in it: what is here is right. */
async function keptOrFresh(request: Request): Promise<Response> {
  const kept = await caches.match(request);
  if (kept) return kept;
  const answer = await fetch(request);
  if (answer.ok) await (await caches.open(cacheName)).put(request, answer.clone());
  return answer;
}

async function freshOrKept(request: Request): Promise<Response> {
  try {
    return await fetch(request);
  } catch (error) {
    const kept = await caches.match(request);
    if (kept) return kept;
    throw error;
  }
}

/** A page comes from the practice; without it, the empty page of its kind. */
async function page(request: Request, url: URL): Promise<Response> {
  const exam = /^\/exam\/[^/]+\/(edit|sign)$/.test(url.pathname);
  if (exam && url.searchParams.has("device")) return kept(examShell);
  try {
    await tellSignedOut();
    const answer = await (exam ? inTime(fetch(request)) : fetch(request));
    if (!unreachable.has(answer.status)) return answer;
  } catch {
    // No connection, or none that answers in time.
  }
  return kept(exam ? examShell : devicePage);
}

async function kept(path: string): Promise<Response> {
  const here = await (await caches.open(cacheName)).match(path);
  return here ?? (await caches.match(path)) ?? Response.error();
}

function inTime(answer: Promise<Response>): Promise<Response> {
  return new Promise((resolve, reject) => {
    const clock = setTimeout(() => reject(new Error("no answer in time")), patience);
    answer.then(resolve, reject).finally(() => clearTimeout(clock));
  });
}

/** Somebody signed out while the practice was out of reach: it hears of that
 *  before it shows another page. */
async function tellSignedOut(): Promise<void> {
  const db = await openStore();
  if (!(await db.get("note", "signed-out"))) return;
  await fetch("/sign-out", { method: "POST" });
  await db.delete("note", "signed-out");
}
