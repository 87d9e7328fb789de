// What tests without a browser stand on: the page's modules, and the kernel as
// the pages load it.
import { execFileSync } from "node:child_process";
import { readFile } from "node:fs/promises";
import { register } from "node:module";
import { dirname, join } from "node:path";
import { fileURLToPath, pathToFileURL } from "node:url";
import { gunzipSync } from "node:zlib";

const root = dirname(dirname(fileURLToPath(import.meta.url)));

register("./ts-hooks.mjs", import.meta.url);

/**
 * Imports a module of the page, such as "trace/geometry".
 * @param {string} name
 * @returns {Promise<any>}
 */
export function source(name) {
  return import(pathToFileURL(join(root, "web", "src", `${name}.ts`)).href);
}

/**
 * Loads the kernel that the program carries. Each function takes and gives text.
 * @returns {Promise<Record<string, (text: string) => string>>}
 */
export async function loadKernel() {
  const dist = join(root, "internal", "web", "static", "dist");
  const manifest = JSON.parse(await readFile(join(dist, "manifest.json"), "utf8"));
  const program = gunzipSync(await readFile(join(dist, manifest["kernel.wasm.gz"])));
  const goroot = execFileSync("go", ["env", "GOROOT"], { encoding: "utf8" }).trim();
  await import(pathToFileURL(join(goroot, "lib", "wasm", "wasm_exec.js")).href);
  const there = /** @type {any} */ (globalThis);
  const go = new there.Go();
  const { instance } = await WebAssembly.instantiate(program, go.importObject);
  void go.run(instance);
  return there.tengramKernel;
}

/**
 * Reads an example exam.
 * @param {string} name such as "01-wholly-normal"
 */
export async function example(name) {
  return JSON.parse(await readFile(join(root, "docs", "examples", `${name}.json`), "utf8"));
}

/** The names of all example exams. */
export async function examples() {
  const { readdir } = await import("node:fs/promises");
  return (await readdir(join(root, "docs", "examples"))).filter((f) => f.endsWith(".json")).map((f) => f.slice(0, -5));
}
