// Times the engine over charts that bench/measure wrote, and looks whether it
// says of each person what the product said.
//
//   node speed.mjs FOLDER
//
// Reading files and putting Bundles together is not counted, nor is a first
// round that warms the engine up.
import { readFileSync } from "node:fs";
import { join } from "node:path";
import { cpuUsage, memoryUsage } from "node:process";
import { makeEngine, runAll } from "./engine.mjs";
import { fromLine, populations, same } from "./populations.mjs";
import { readBundles } from "./read.mjs";

const [folder] = process.argv.slice(2);
const got = new Map(readFileSync(join(folder, "ours.jsonl"), "utf8").trimEnd().split("\n").map(fromLine));
const bundles = [...readBundles(folder).values()];
const engine = makeEngine({ offset: -5 });
await engine.run(bundles.slice(0, 50));

const before = cpuUsage();
let unlike = 0;
let people = 0;
await runAll(engine, bundles, (id, said) => {
  people++;
  if (!same(got.get(id), populations(said))) unlike++;
});
const used = cpuUsage(before);
const each = ((used.user + used.system) * 1000) / people;
console.log(`${people} people, ${unlike} judged otherwise than here`);
console.log(`  foot-exam by the engine    ${each.toFixed(0).padStart(9)} ns a person, ${(1e9 / each).toFixed(1).padStart(11)} people a second and core`);
console.log(`  memory ${(memoryUsage().rss / 1024).toFixed(0)} kB`);
if (unlike > 0 || people !== got.size) process.exitCode = 1;
