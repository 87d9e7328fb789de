// What a page does to work without the network: installs the service worker,
// opens the vault while somebody is signed in, keeps the exam, sends the queue.
import type { Live } from "../exam/live";
import { keepExam } from "./exam";
import { acquire, unlock } from "./key";
import { showDevice, startStrip } from "./list";
import { Queue } from "./queue";
import { signedIn, signedOut, startSignOut, watchSession } from "./session";
import { fillShell } from "./shell";
import { signWith, startSigning } from "./signing";
import { canKeep } from "./store";
import { Vault } from "./vault";
import type { KeptDraft, Keeper } from "./draft";

/** What the practice has as well is taken off the device after a week. */
const tidyAfter = 7 * 24 * 3600 * 1000;

/** Starts it. live is the exam of the page, if it came with one; begin makes
 *  one of a form that was drawn here. */
export async function startDevice(live: Live | null, begin: (form: HTMLFormElement, unsent: boolean) => Live): Promise<void> {
  if (!canKeep()) return;
  navigator.serviceWorker?.register("/sw.js").catch(() => {}); // without it a page needs the network
  if (document.querySelector('form[action="/sign-in"]')) {
    await signedOut();
    return;
  }
  const shell = document.querySelector<HTMLElement>("[data-shell]");
  if (!signedIn() && !shell) return;

  const sign = document.querySelector<HTMLFormElement>("form.sign-form");
  const unlocked = live || sign ? await acquire() : ((await unlock()) ?? (await acquire()));
  const vault = unlocked && new Vault(unlocked);
  const queue = vault && new Queue(vault);
  let keeper: Keeper | null = null;

  if (shell?.dataset["shell"] === "device") {
    await showDevice(shell, vault, queue);
  } else if (shell) {
    if (queue && (await waitsHere(queue))) return;
    const filled = await fillShell(shell, vault);
    if (filled && vault && queue) {
      const form = document.querySelector<HTMLFormElement>("form#exam");
      const review = document.querySelector<HTMLFormElement>("form.sign-form");
      if (filled.page === "edit" && form) keeper = await keepExam(begin(form, true), vault, queue, filled.of);
      else if (review) signWith(review, queue, filled.of, filled.answers);
    }
  }
  if (!vault || !queue) return;

  const settled = async () => keeper?.settled();
  const out = signedIn();
  if (out) startSignOut(out, async () => (await queue.list()).length, settled);
  watchSession(settled);
  if (live) keeper = await keepExam(live, vault, queue, null);
  else if (sign) await startSigning(sign, vault, queue);

  await startStrip(queue);
  addEventListener("online", () => void queue.send(true));
  document.addEventListener("visibilitychange", () => {
    if (!document.hidden) void queue.send();
  });
  void queue.send();
  await tidy(vault);
}

/** An exam that was signed here and waits is not opened again: the list shows
 *  it. */
async function waitsHere(queue: Queue): Promise<boolean> {
  const exam = decodeURIComponent(/^\/exam\/([^/]+)\//.exec(location.pathname)?.[1] ?? "");
  if (!(await queue.of(exam))) return false;
  location.replace("/device");
  return true;
}

async function tidy(vault: Vault): Promise<void> {
  const old = Date.now() - tidyAfter;
  const drafts = await vault.list<KeptDraft>("draft");
  const unsent = new Set(drafts.filter((d) => d.value.unsent).map((d) => d.exam));
  for (const kept of [...drafts, ...(await vault.list("case"))]) {
    if (kept.at < old && !unsent.has(kept.exam)) await vault.dropExam(kept.exam);
  }
}
