// Lets Node import the page's TypeScript as it is: types are taken off, and
// "./x" finds x.ts. For tests of what needs no browser.
import { existsSync } from "node:fs";
import { readFile } from "node:fs/promises";
import { fileURLToPath } from "node:url";
import typescript from "typescript";

/** @type {import("node:module").ResolveHook} */
export async function resolve(specifier, context, next) {
  if (specifier.startsWith(".") && context.parentURL?.endsWith(".ts")) {
    const url = new URL(`${specifier}.ts`, context.parentURL);
    if (existsSync(fileURLToPath(url))) return { url: url.href, shortCircuit: true };
  }
  return next(specifier, context);
}

/** @type {import("node:module").LoadHook} */
export async function load(url, context, next) {
  if (!url.endsWith(".ts")) return next(url, context);
  const source = await readFile(fileURLToPath(url), "utf8");
  const { outputText } = typescript.transpileModule(source, {
    compilerOptions: { target: typescript.ScriptTarget.ES2022, module: typescript.ModuleKind.ESNext },
  });
  return { format: "module", source: outputText, shortCircuit: true };
}
