// The kernel beside the page: loads the rules as WebAssembly and answers one
// question at a time, so that the page stays quick while they work.
import "wasm_exec";

/** What the page asks: which function, with which JSON text. */
export interface Question {
  id: number;
  call: string;
  text: string;
}

/** The answer, or why there is none. */
export interface Answer {
  id: number;
  text?: string;
  failed?: string;
}

declare const Go: new () => { importObject: WebAssembly.Imports; run(instance: WebAssembly.Instance): Promise<void> };
declare const tengramKernel: Record<string, ((text: string) => string) | undefined>;

/** The address of the program comes behind the # of the worker's own. */
const program = decodeURIComponent(location.hash.slice(1));

async function load(): Promise<void> {
  const answer = await fetch(program);
  if (!answer.ok || !answer.body) throw new Error(`the kernel answered ${answer.status}`);
  const plain = answer.body.pipeThrough(new DecompressionStream("gzip"));
  const go = new Go();
  const { instance } = await WebAssembly.instantiateStreaming(
    new Response(plain, { headers: { "Content-Type": "application/wasm" } }),
    go.importObject,
  );
  // It runs until the worker ends; by the time the first wait begins it has
  // put its functions up.
  void go.run(instance).then(() => close());
}

const loaded = load();

addEventListener("message", async (event: MessageEvent<Question>) => {
  const { id, call, text } = event.data;
  const answer: Answer = { id };
  try {
    await loaded;
    const run = tengramKernel[call];
    if (!run) throw new Error(`the kernel has no ${call}`);
    answer.text = run(text);
  } catch (error) {
    answer.failed = String(error);
  }
  postMessage(answer);
});
