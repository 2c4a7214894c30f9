/**
 * Makes the bundled demonstration lot, demo/lot: pictures and truth.json. Invented parts, simulated pictures.
 *
 * node scripts/run.mjs scripts/make-demo.ts [--seed N] [--into DIR]
 */
import { mkdirSync, writeFileSync } from "node:fs";
import path from "node:path";
import { parseArgs } from "node:util";
import { deflateSync } from "node:zlib";
import { demoLot, demoSeed } from "../src/simulate/demo-lot.ts";
import { lotFiles } from "../src/simulate/lot-files.ts";

const { values } = parseArgs({
  options: {
    seed: { type: "string", default: String(demoSeed) },
    into: { type: "string", default: "demo/lot" },
  },
});
mkdirSync(values.into, { recursive: true });
let total = 0;
for (const { name, bytes } of lotFiles(demoLot, Number(values.seed), (raw) =>
  deflateSync(raw, { level: 9 }),
)) {
  writeFileSync(path.join(values.into, name), bytes);
  total += bytes.length;
  console.log(`${name.padEnd(12)} ${bytes.length} bytes`);
}
console.log(`${total} bytes in ${values.into}`);
