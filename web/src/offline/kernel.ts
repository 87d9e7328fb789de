// The same rules, and the same pages, as the server's: the program compiled to
// WebAssembly, asked through a worker. Where a browser has no WebAssembly, what
// needs the rules waits for the practice.
import type { Answer, Question } from "../kernel-worker";
import { assetURL } from "./assets";
import type { Case } from "./case";

let worker: Promise<Worker> | null = null;
let last = 0;
let answered = false;
const waiting = new Map<number, { resolve: (text: string) => void; reject: (error: Error) => void }>();

/** Says whether this browser can run the kernel at all. */
export function canJudge(): boolean {
  return "WebAssembly" in globalThis && "Worker" in globalThis && "DecompressionStream" in globalThis;
}

/** Says whether the kernel is loaded and answers at once. */
export function isWarm(): boolean {
  return answered;
}

/** Loads the kernel, so that it is here when the network is not: once the
 *  service worker looks after the page, its files go through its hands. */
export async function warm(): Promise<void> {
  await ask("editions", "");
  if (!(await controlled())) return;
  for (const name of ["kernel-worker.js", "kernel.wasm.gz"]) {
    const url = await assetURL(name);
    if (!(await caches.match(url))) await (await fetch(url)).arrayBuffer();
  }
}

/** Says whether a service worker looks after the page; a new one gets a while. */
async function controlled(): Promise<boolean> {
  const workers = navigator.serviceWorker;
  if (!workers) return false;
  if (workers.controller) return true;
  return new Promise((resolve) => {
    const clock = setTimeout(() => resolve(false), 15_000);
    workers.addEventListener("controllerchange", () => {
      clearTimeout(clock);
      resolve(true);
    });
  });
}

async function start(): Promise<Worker> {
  const [script, program] = await Promise.all([assetURL("kernel-worker.js"), assetURL("kernel.wasm.gz")]);
  const packed = await fetch(program);
  if (!packed.ok) throw new Error(`the kernel answered ${packed.status}`);
  const bytes = await packed.arrayBuffer();
  const made = new Worker(script);
  made.postMessage(bytes, [bytes]);
  made.addEventListener("message", (event: MessageEvent<Answer>) => {
    const { id, text, failed } = event.data;
    const asked = waiting.get(id);
    waiting.delete(id);
    if (text !== undefined) {
      answered = true;
      asked?.resolve(text);
    } else asked?.reject(new Error(failed ?? "the kernel gave no answer"));
    // A kernel that failed may be in any state: the next question gets a new one.
    if (failed !== undefined) restart(made, failed);
  });
  made.addEventListener("error", (event) => restart(made, event.message || "the kernel could not be started"));
  return made;
}

function restart(old: Worker, why: string): void {
  old.terminate();
  worker = null;
  answered = false;
  for (const asked of waiting.values()) asked.reject(new Error(why));
  waiting.clear();
}

/** Asks one of the kernel's functions. */
async function ask(call: string, text: string): Promise<string> {
  if (!canJudge()) throw new Error("this browser cannot run the rules itself");
  worker ??= start();
  let there: Worker;
  try {
    there = await worker;
  } catch (error) {
    worker = null;
    throw error;
  }
  const id = ++last;
  return new Promise((resolve, reject) => {
    waiting.set(id, { resolve, reject });
    there.postMessage({ id, call, text } satisfies Question);
  });
}

/** The kernel's word for a question that it cannot answer. */
function checked(text: string): string {
  if (!text.startsWith('{"error"')) return text;
  throw new Error((JSON.parse(text) as { error: string }).error);
}

/** What the rules say of an exam document. */
export interface Judgement {
  assessment: unknown;
  problems: { field: string; says: string; blocks?: boolean }[] | null;
  done: unknown;
}

/** Judges an exam document by an edition on a day: the same JSON as
 *  POST /exam/{exam}/assess answers, which is asked where there is no kernel. */
export async function assess(
  exam: { [name: string]: unknown; id?: unknown },
  background: unknown,
  edition: string,
  on: string,
  choice = "",
): Promise<Judgement> {
  if (canJudge()) {
    const question = { exam, background, edition, on, "recall-choice": choice };
    return JSON.parse(checked(await ask("assess", JSON.stringify(question)))) as Judgement;
  }
  const answer = await fetch(`/exam/${encodeURIComponent(String(exam["id"]))}/assess`, {
    method: "POST",
    body: JSON.stringify(exam),
    headers: { "Content-Type": "application/json" },
  });
  if (!answer.ok) throw new Error(`the practice answered ${answer.status}`);
  return (await answer.json()) as Judgement;
}

/** Draws the parts of the page that follow from the answers, as
 *  POST /exam/{exam}/preview does. */
export async function drawParts(of: Case, answers: string): Promise<string> {
  return checked(await ask("parts", question(of, answers)));
}

/** Draws the whole exam page. */
export async function drawExam(of: Case, answers: string): Promise<string> {
  return checked(await ask("exam", question(of, answers)));
}

/** Draws the last look before signing. */
export async function drawSign(of: Case, answers: string): Promise<string> {
  return checked(await ask("sign", question(of, answers)));
}

/** The document that a signature stands under, as it will be sent. */
export async function sealed(of: Case, answers: string, reason: string): Promise<string> {
  return checked(await ask("seal", question(of, answers, reason)));
}

/** The answers are JSON already; they are put in as they are. */
function question(of: Case, answers: string, reason = ""): string {
  const rest = JSON.stringify({ ...of, answers: undefined, reason: reason || undefined });
  return answers === "" ? rest : `${rest.slice(0, -1)},"answers":${answers}}`;
}
