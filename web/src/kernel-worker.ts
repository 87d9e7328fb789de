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

let ready: (running: Promise<void>) => void;
const loaded = new Promise<void>((resolve) => (ready = resolve));

/** Unpacks the program and runs it. It runs until the worker ends; by the time
 *  its first wait begins it has put its functions up. */
async function run(packed: ArrayBuffer): Promise<void> {
  const stream = new Blob([packed]).stream().pipeThrough(new DecompressionStream("gzip"));
  const go = new Go();
  const { instance } = await WebAssembly.instantiate(await new Response(stream).arrayBuffer(), go.importObject);
  void go.run(instance).then(() => close());
}

// The page fetches the program, packed, and sends it first: the service worker
// looks after pages, and not in every browser after their workers.
addEventListener("message", async (event: MessageEvent<Question | ArrayBuffer>) => {
  if (event.data instanceof ArrayBuffer) {
    ready(run(event.data));
    return;
  }
  const { id, call, text } = event.data;
  const answer: Answer = { id };
  try {
    await loaded;
    const asked = tengramKernel[call];
    if (!asked) throw new Error(`the kernel has no ${call}`);
    answer.text = asked(text);
  } catch (error) {
    answer.failed = String(error);
  }
  postMessage(answer);
});
