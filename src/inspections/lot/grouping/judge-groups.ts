import { median } from "../../../numeric/order.ts";
import type { Scale } from "../../../radiograph/radiograph.ts";
import { toMillimetres } from "../../../radiograph/scale.ts";
import type { Measured } from "../../../units/measured.ts";
import { measured, notMeasured } from "../../../units/measured.ts";
import type { MeasuredLot } from "../measuring/measure-lot.ts";
import type { PlacedLot } from "../placing/place-lot.ts";
import type { LotCompared, LotGroup } from "../result.ts";
import type { ComparedLot } from "./compare-lot.ts";
import type { LinkedCharacteristic } from "./group-parts.ts";
import { groupMembers } from "./group-parts.ts";
import { heldOutTests } from "./held-out-test.ts";

const smallestLotWithMinority = 8;
const minorityShare = 0.2;
/** Groups that are no minority must hold this much of the lot together, else nothing is "the rest". */
const leastRest = 0.7;

/** Groups small enough to be the odd ones: at most 20 % of 8 or more parts, beside a clear rest. */
export function minorityGroups(groupOf: readonly number[]): Set<number> {
  const n = groupOf.length;
  if (n < smallestLotWithMinority) return new Set();
  const sizes = new Map<number, number>();
  for (const g of groupOf) sizes.set(g, (sizes.get(g) ?? 0) + 1);
  const minor = [...sizes].filter(([, size]) => size <= minorityShare * n).map(([g]) => g);
  const rest = n - minor.reduce((sum, g) => sum + (sizes.get(g) as number), 0);
  return rest >= leastRest * n ? new Set(minor) : new Set();
}

/** Crops of larger pictures bring surroundings along: so many are needed before what is normal there is known. */
export const fewestCrops = 4;

/** Whether some parts at least are alike, and in crops of larger pictures enough of them, to say what is normal. */
export function knowsNormal(lot: PlacedLot, groupOf: readonly number[]): boolean {
  const n = groupOf.length;
  if (lot.frame.wholeField && n < fewestCrops) return false;
  return n < 3 || groupMembers(groupOf).some((members) => members.length > 1);
}

/** "A", "B", ... "Z", "AA". */
export function groupName(index: number): string {
  const letter = String.fromCharCode(65 + (index % 26));
  return index < 26 ? letter : groupName(Math.floor(index / 26) - 1) + letter;
}

/** The groups with what separates each from every other. */
export function describeGroups(
  lot: PlacedLot,
  compared: ComparedLot,
  scale: Scale,
  verdicts: readonly LotGroup["againstExemplar"][],
): LotGroup[] {
  const members = groupMembers(compared.groupOf);
  const heldOut = heldOutTests(lot, compared);
  return members.map((own, g) => ({
    name: groupName(g),
    size: own.length,
    parts: own.map((i) => (lot.items[i] as PlacedLot["items"][number]).id),
    againstExemplar: verdicts[g] ?? "no-exemplar",
    differsFrom: members.flatMap((others, h) =>
      h === g
        ? []
        : [
            {
              group: groupName(h),
              because: separation(lot, compared, own, others, scale),
              heldOut: heldOut(g, h),
            },
          ],
    ),
  }));
}

/** Every characteristic whose middle values lie farther apart than its linking difference, then the outline. */
function separation(
  lot: PlacedLot,
  compared: ComparedLot,
  own: readonly number[],
  others: readonly number[],
  scale: Scale,
): { measurement: string; by: Measured }[] {
  const because: { measurement: string; by: Measured; times: number }[] = [];
  for (const c of compared.characteristics) {
    const here = seenValues(c, own);
    const there = seenValues(c, others);
    if (c.link === null || !here.length || !there.length) continue;
    const by = median(here) - median(there);
    const times = Math.abs(by) / c.link;
    if (times <= 1) continue;
    const spread = c.spread ?? 0;
    const u = Math.hypot(c.u, spread) * Math.sqrt(1 / here.length + 1 / there.length);
    because.push({ measurement: c.name, by: inUnit(c.name, by, Math.max(u, 0.1 * c.u), scale), times });
  }
  because.sort((p, q) => q.times - p.times);
  const n = compared.outline.size;
  const outline = median(own.flatMap((i) => others.map((j) => compared.outline.values[i * n + j] as number)));
  if (outline > compared.outlineLink) {
    const share = (100 * outline) / lot.contrast;
    because.push({ measurement: "outline", by: measured(share, 0.1 * share, "percent"), times: 0 });
  }
  return because.map(({ measurement, by }) => ({ measurement, by }));
}

/** A characteristic's values over some parts, those that have one. */
export function seenValues(c: LinkedCharacteristic, of: readonly number[]): number[] {
  return of.flatMap((i) => {
    const v = c.values[i];
    return v === null || v === undefined ? [] : [v];
  });
}

/** A characteristic's value in the unit it is reported in. */
export function inUnit(name: string, value: number, u: number, scale: Scale): Measured {
  if (isCount(name)) return measured(value, u, "1");
  const inPx = measured(Math.abs(value), u, "px");
  const out = toMillimetres(inPx, scale);
  return out.value === null ? out : { ...out, value: Math.sign(value) * out.value };
}

/** What was compared over the lot and the smallest difference that would have separated two parts. */
export function describeCompared(
  lot: PlacedLot,
  measuredLot: MeasuredLot,
  compared: ComparedLot,
  scale: Scale,
): LotCompared[] {
  const out: LotCompared[] = compared.characteristics.map((c) => {
    const seen = c.values.filter((v) => v !== null).length;
    const all = c.values.length;
    if (c.link === null) {
      return {
        characteristic: c.name,
        assessable: false,
        because: `seen in ${seen} of ${all} parts only`,
        smallestDetectable: notMeasured(unitOf(c.name, scale), seen < 2 ? "not-visible" : "too-few"),
      };
    }
    return {
      characteristic: c.name,
      assessable: true,
      because: `measured on ${seen} of ${all} parts, each against the others`,
      // The link rests on a spread known to about 1 / sqrt(2 (n - 1)) of itself.
      smallestDetectable: inUnit(c.name, c.link, c.link / (2 * Math.sqrt(2 * Math.max(1, seen - 1))), scale),
    };
  });
  const areaPx = bodyAreaPx(lot) * (compared.outlineLink / lot.contrast);
  out.push({
    characteristic: "outline",
    assessable: true,
    because:
      "lead frame, pad and mould inside the body, die and wires left out: side of a fully contrasted square",
    smallestDetectable: inUnit("outline", Math.sqrt(areaPx), 0.15 * Math.sqrt(areaPx), scale),
  });
  const withDie = measuredLot.parts.filter((p) => p.die).length;
  out.push({
    characteristic: "diePresence",
    assessable: withDie >= 0.5 * lot.items.length,
    because:
      withDie >= 0.5 * lot.items.length
        ? `a die is seen in ${withDie} of ${lot.items.length} parts`
        : "the die cannot be told from what lies around it in most parts",
    smallestDetectable: notMeasured("1", withDie ? "not-assessed" : "not-visible"),
  });
  return out;
}

function bodyAreaPx(lot: PlacedLot): number {
  const { lengthPx, widthPx } = lot.frame.body;
  return lengthPx * widthPx * (lot.frame.reducedBy * lot.frame.patchReducedBy) ** 2;
}

function unitOf(name: string, scale: Scale): Measured["unit"] {
  if (isCount(name)) return "1";
  return scale.umPerPx === null ? "px" : "mm";
}

/** Characteristics that are no lengths. */
function isCount(name: string): boolean {
  return name === "leads" || name === "frameToMould" || name === "wiresSeen";
}
