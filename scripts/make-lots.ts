/**
 * Writes simulated lots: pictures as TIFF and truth.json.
 *
 * node scripts/run.mjs scripts/make-lots.ts --preset NAME --seed N --into DIR
 * node scripts/run.mjs scripts/make-lots.ts --list
 */
import { mkdirSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { parseArgs } from "node:util";
import { deflateSync } from "node:zlib";
import { lotFiles } from "../src/simulate/lot-files.ts";
import { lotPresets } from "../src/simulate/presets.ts";

const { values } = parseArgs({
  options: {
    preset: { type: "string" },
    seed: { type: "string", default: "1" },
    into: { type: "string" },
    list: { type: "boolean", default: false },
  },
});
const { preset, into } = values;
const seed = Number(values.seed);

if (values.list || preset === undefined || into === undefined || !Number.isSafeInteger(seed)) {
  for (const [name, { description }] of Object.entries(lotPresets))
    console.log(`${name.padEnd(26)} ${description}`);
  console.log("usage: --preset NAME --seed N --into DIR");
  process.exit(values.list ? 0 : 2);
}
const spec = lotPresets[preset];
if (spec === undefined) {
  console.error(`no preset "${preset}"; --list shows them`);
  process.exit(2);
}
mkdirSync(into, { recursive: true });
let files = 0;
for (const { name, bytes } of lotFiles(spec, seed, deflateSync)) {
  writeFileSync(join(into, name), bytes);
  files++;
}
console.log(`${files - 1} pictures and truth.json in ${into}`);
