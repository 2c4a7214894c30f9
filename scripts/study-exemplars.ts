/**
 * How right exemplars are judged: simulated lots of ten against simulated exemplars of the same and of other
 * constructions, at other tube voltages, magnifications, turns and polarity.
 *
 * node scripts/run.mjs scripts/study-exemplars.ts [--seed N] [--families SO-8,QFN-32]
 */
import { parseArgs } from "node:util";
import type { LotSource } from "../src/inspections/lot/finding/gather-parts.ts";
import { inspectLot } from "../src/inspections/lot/lot.ts";
import { defaultLotOptions } from "../src/inspections/lot/options.ts";
import { againstSays } from "../src/judgement/exemplar-wording.ts";
import type { Construction } from "../src/simulate/construction.ts";
import { plainDetector } from "../src/simulate/detector.ts";
import type { FamilyName } from "../src/simulate/packages/families.ts";
import { constructionOf } from "../src/simulate/packages/families.ts";
import { lotLike, usualExposure } from "../src/simulate/usual-lot.ts";
import { exactInterval } from "../src/statistics/exact-interval.ts";
import { simulatedLot } from "../test/support/simulated-sources.ts";

interface Package {
  readonly family: FamilyName;
  readonly pins: number;
  readonly mmPerPx: number;
  /** Side of the lot's pictures, px. */
  readonly sidePx: number;
}

const packages: readonly Package[] = [
  { family: "SO-8", pins: 8, mmPerPx: 0.0135, sidePx: 480 },
  { family: "SO-14", pins: 14, mmPerPx: 0.02, sidePx: 500 },
  { family: "SO-16", pins: 16, mmPerPx: 0.0218, sidePx: 560 },
  { family: "TSOP-54", pins: 54, mmPerPx: 0.029, sidePx: 860 },
  { family: "QFN-32", pins: 32, mmPerPx: 0.0135, sidePx: 480 },
  { family: "LQFP-48", pins: 48, mmPerPx: 0.02, sidePx: 560 },
  { family: "SOT-23-6", pins: 6, mmPerPx: 0.01, sidePx: 420 },
  { family: "DIP-14", pins: 14, mmPerPx: 0.028, sidePx: 820 },
];

/** Tube voltage, and pixel size in units of the lot's. */
const techniques = {
  "60 kV": { kv: 60, coarser: 1, inverted: false },
  "110 kV": { kv: 110, coarser: 1, inverted: false },
  "coarser pixel": { kv: 80, coarser: 1.8, inverted: false },
  "finer pixel": { kv: 80, coarser: 0.62, inverted: false },
  "60 kV, coarser pixel": { kv: 60, coarser: 1.6, inverted: false },
  "95 kV, dense is bright": { kv: 95, coarser: 0.8, inverted: true },
} as const;
type Technique = keyof typeof techniques;

const { values } = parseArgs({
  options: { seed: { type: "string", default: "1" }, families: { type: "string" } },
});
const seed = Number(values.seed);
const wanted = values.families?.split(",");

interface Exemplar {
  readonly what: string;
  readonly technique: Technique;
  readonly agrees: boolean;
  readonly sources: LotSource[];
}

function exemplarsOf({ family, pins, mmPerPx, sidePx }: Package, own: Construction): Exemplar[] {
  const [length, width, thickness] = own.dieMm ?? [0, 0, 0];
  const sized = (times: number): Construction => ({
    ...own,
    dieMm: [times * length, times * width, thickness],
  });
  const fewer = Array.from({ length: pins }, (_, i) => i + 1).filter((pin) => pin !== 2 && pin !== 5);
  const others: [string, Construction, readonly Technique[]][] = [
    ["same", own, Object.keys(techniques) as Technique[]],
    ["die 8 % larger", sized(1.08), ["110 kV", "coarser pixel", "60 kV, coarser pixel"]],
    ["die 25 % smaller", sized(0.75), ["110 kV", "coarser pixel", "60 kV, coarser pixel"]],
    ["two wires fewer", { ...own, bonded: fewer }, ["60 kV", "110 kV", "finer pixel"]],
    [
      "other frame, same die",
      { ...constructionOf("g1", family, "B"), dieMm: own.dieMm },
      ["110 kV", "coarser pixel", "60 kV, coarser pixel"],
    ],
  ];
  return others.flatMap(([what, construction, taken]) =>
    taken.map((technique) => {
      const { kv, coarser, inverted } = techniques[technique];
      const side = Math.round((1.25 * sidePx) / coarser);
      const spec = lotLike(
        `${family} ${what} ${technique}`,
        "One part of known origin.",
        {
          constructions: [{ construction, count: 1 }],
          layout: { kind: "single", widthPx: side, heightPx: side },
          mmPerPx: mmPerPx * coarser,
          exposures: [{ ...usualExposure, kv, detector: { ...plainDetector, inverted } }],
        },
        { turnsDeg: "any", mirroredShare: 0.3 },
      );
      return { what, technique, agrees: what === "same", sources: simulatedLot(spec, seed).sources };
    }),
  );
}

const counts = new Map<string, { right: number; open: number; all: number }>();
for (const one of packages) {
  if (wanted && !wanted.includes(one.family)) continue;
  const own = constructionOf("g0", one.family, "A");
  const spec = lotLike(`${one.family} lot`, "Ten parts of one construction.", {
    constructions: [{ construction: own, count: 10 }],
    layout: { kind: "single", widthPx: one.sidePx, heightPx: one.sidePx },
    mmPerPx: one.mmPerPx,
  });
  const exemplars = exemplarsOf(one, own);
  const { sources } = simulatedLot(spec, seed);
  const from = exemplars.flatMap((e) => e.sources);
  const { findings } = await inspectLot(sources, defaultLotOptions, undefined, undefined, { sources: from });
  exemplars.forEach(({ what, technique, agrees }, e) => {
    const against = findings.exemplars[e]?.against[0];
    const verdict: string = against?.verdict ?? "not found";
    const count = counts.get(what) ?? { right: 0, open: 0, all: 0 };
    const right = verdict === (agrees ? "agrees" : "differs");
    const open = verdict === "not-comparable" || verdict === "not found";
    counts.set(what, {
      right: count.right + Number(right),
      open: count.open + Number(open),
      all: count.all + 1,
    });
    const says = against && !right ? againstSays(against) : "";
    console.log(
      `${right ? "right" : open ? "open " : "WRONG"} ${one.family.padEnd(9)} ${what}, ${technique}: ${verdict}. ${says}`,
    );
  });
}
console.log("");
for (const [what, { right, open, all }] of counts) {
  const { low, high } = exactInterval(right, all);
  console.log(
    `${what.padEnd(22)} ${right} of ${all} right (95 % ${low.toFixed(3)} to ${high.toFixed(3)}), ${open} not comparable, ${all - right - open} wrong`,
  );
}
