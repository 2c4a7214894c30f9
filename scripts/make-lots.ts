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
import { encodeTiff } from "../src/simulate/encode-tiff.ts";
import { planLot } from "../src/simulate/plan-lot.ts";
import { lotPresets } from "../src/simulate/presets.ts";
import { renderPicture } from "../src/simulate/render-picture.ts";
import { lotTruth } from "../src/simulate/truth.ts";

const { values } = parseArgs({
  options: {
    preset: { type: "string" },
    seed: { type: "string", default: "1" },
    into: { type: "string" },
    list: { type: "boolean", default: false },
  },
});

if (values.list || values.preset === undefined || values.into === undefined) {
  for (const [name, spec] of Object.entries(lotPresets))
    console.log(`${name.padEnd(22)} ${spec.description}`);
  console.log("usage: --preset NAME --seed N --into DIR");
  process.exit(values.list ? 0 : 2);
}
const spec = lotPresets[values.preset];
if (spec === undefined) {
  console.error(`no preset "${values.preset}"; --list shows them`);
  process.exit(2);
}
mkdirSync(values.into, { recursive: true });
const plan = planLot(spec, Number(values.seed));
plan.pictures.forEach((_, index) => {
  const picture = renderPicture(plan, index);
  const file = encodeTiff(
    picture.samples,
    picture.width,
    picture.height,
    picture.bits,
    picture.minIsWhite,
    deflateSync,
  );
  writeFileSync(join(values.into ?? ".", picture.name), file);
});
writeFileSync(join(values.into, "truth.json"), `${JSON.stringify(lotTruth(plan), null, 1)}\n`);
console.log(`${plan.pictures.length} pictures, ${plan.parts.length} parts, ${values.into}`);
