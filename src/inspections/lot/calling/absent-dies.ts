import { median, quantile } from "../../../numeric/order.ts";
import type { OrientedRectangle } from "../../../numeric/oriented-rectangle.ts";
import { growRectangle } from "../../../numeric/oriented-rectangle.ts";
import type { ComparedLot } from "../grouping/compare-lot.ts";
import { compareMask } from "../grouping/pair-difference.ts";
import { insideValues } from "../measuring/inside-body.ts";
import type { MeasuredLot } from "../measuring/measure-lot.ts";
import type { PlacedLot } from "../placing/place-lot.ts";
import { inCompare } from "../placing/place-lot.ts";
import type { LotCall } from "../result.ts";
import { intoPicture, upright } from "./picture-box.ts";

/**
 * Parts without the die that their group has: no die outline could be fitted, and the attenuation where the group's
 * dies lie is nearer to the bare pad's than to the group's. Where an odd group shows too few dies the largest group's
 * count. Under a clip, of which part covers the die, levels do not tell.
 */
export function absentDies(
  lot: PlacedLot,
  measured: MeasuredLot,
  compared: ComparedLot,
  odd: ReadonlySet<number>,
): (LotCall | null)[] {
  const die = measured.consensus.die;
  const none = lot.items.map(() => null);
  if (!die) return none;
  const inside = lot.items.map((_, i) =>
    levelIn(lot, i, inCompare(growRectangle(die, -0.15 * die.widthPx), lot.by)),
  );
  const beside = lot.items.map((_, i) => besideDie(lot, measured, i));
  return lot.items.map((_, i) => {
    if (measured.parts[i]?.die || measured.parts[i]?.clip) return null;
    const withDie = (group: number) =>
      compared.groupOf.flatMap((g, j) => (g === group && measured.parts[j]?.die ? [j] : []));
    const own = withDie(compared.groupOf[i] as number);
    const peers = own.length < 3 && odd.has(compared.groupOf[i] as number) ? withDie(0) : own;
    if (peers.length < Math.max(3, leastWithDie * sizeOf(compared, peers))) return null;
    const contrast = median(peers.map((j) => (inside[j] as number) - (beside[j] as number)));
    const here = (inside[i] as number) - (beside[i] as number);
    if (!(contrast > 2 * lot.tolerance) || here > 0.5 * contrast) return null;
    return {
      kind: "absent-die" as const,
      boxPx: intoPicture(lot, i, upright(inCompare(die, lot.by))),
      says: `no die where the group has one: ${here.toFixed(2)} above the bare pad in attenuation, the group ${contrast.toFixed(2)}`,
    };
  });
}

/** Where fewer of a group's parts show a die, what they show may be none (a resistor's film beside its cuts). */
const leastWithDie = 0.4;

/** Parts of the group that some of its parts stand for. */
function sizeOf({ groupOf }: ComparedLot, [first]: readonly number[]): number {
  return groupOf.filter((g) => g === groupOf[first as number]).length;
}

/** Middle attenuation of the pad beside the die's fillet; the pad's or body's metal level where no such ring is left. */
function besideDie(lot: PlacedLot, measured: MeasuredLot, index: number): number {
  const die = measured.consensus.die as OrientedRectangle;
  const pad = measured.consensus.pad;
  const levels = (measured.parts[index] as MeasuredLot["parts"][number]).inside.levels;
  if (!pad) return levels.mould;
  const outer = inCompare(growRectangle(pad, -0.03 * pad.widthPx), lot.by);
  const inner = inCompare(growRectangle(die, 0.1 * die.widthPx), lot.by);
  const { width, height } = lot.middle;
  const ring = compareMask(width, height, outer, [inner]);
  const level = (lot.comparable[index] as PlacedLot["comparable"][number]).level;
  const values: number[] = [];
  for (let k = 0; k < level.length; k++) if (ring.data[k]) values.push(level[k] as number);
  return values.length > 20 ? quantile(values, 0.3) : levels.metal;
}

function levelIn(lot: PlacedLot, index: number, rect: OrientedRectangle): number {
  const part = lot.comparable[index] as PlacedLot["comparable"][number];
  const values = insideValues({ width: part.width, height: part.height, data: part.level }, rect);
  return values.length ? median(values) : 0;
}
