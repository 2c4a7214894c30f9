import { applyMap, composeMaps } from "../../align/similarity.ts";
import type { BoxPx } from "../../numeric/image.ts";
import { median, quantile } from "../../numeric/order.ts";
import type { OrientedRectangle } from "../../numeric/oriented-rectangle.ts";
import { growRectangle } from "../../numeric/oriented-rectangle.ts";
import type { ComparedLot } from "./compare-lot.ts";
import { insideValues } from "./inside-body.ts";
import type { MeasuredLot } from "./measure-lot.ts";
import { compareMask } from "./pair-difference.ts";
import type { DifferingPlace, GroupNorm, PartDifference } from "./part-difference.ts";
import { groupNorm, partDifference } from "./part-difference.ts";
import type { PlacedLot } from "./place-lot.ts";
import { inCompare, smallBody } from "./place-lot.ts";
import type { LotCall } from "./result.ts";

/** What is called on one part, and how odd it is within its group (1: the limit of a call). */
export interface CalledPart {
  readonly calls: readonly LotCall[];
  readonly oddness: number;
  readonly difference: PartDifference;
}

/** Places lighter than this (px of full contrast at compare size) are never called, however alike the rest are. */
const leastWeight = 5;
const mostCalls = 6;
/** Denser places on the die narrower than this (compare px) are its edge or fillet, not matter. */
const leastThicknessPx = 6;
/** A group of at least this many parts says what belongs in each of them. */
const leastGroup = 4;

/**
 * Calls on every part: against its own group, and for parts of the odd groups also against the largest one.
 *
 * @param odd groups held to be the odd ones of the lot
 */
export function callDifferences(
  lot: PlacedLot,
  measured: MeasuredLot,
  compared: ComparedLot,
  odd: ReadonlySet<number>,
): CalledPart[] {
  const where = compareMask(lot.middle.width, lot.middle.height, smallBody(lot.frame, lot.by), null);
  const members = (group: number) => compared.groupOf.flatMap((g, i) => (g === group ? [i] : []));
  const norms = Array.from({ length: compared.groups }, (_, g) => groupNorm(lot, members(g)));
  const own = lot.items.map((_, i) =>
    partDifference(lot, i, norms[compared.groupOf[i] as number] as GroupNorm, where),
  );
  const limits = norms.map((_, g) => weightLimit(members(g).map((i) => own[i] as PartDifference)));
  const dieGone = absentDies(lot, measured, compared);
  return lot.items.map((_, i) => {
    const group = compared.groupOf[i] as number;
    const calls: LotCall[] = [];
    let oddness = 0;
    const difference = own[i] as PartDifference;
    const gone = dieGone[i];
    if (gone) {
      calls.push(gone);
      oddness = 2;
    }
    if (members(group).length >= leastGroup) {
      const limit = limits[group] as number;
      for (const place of difference.places) {
        if (usualInDie(place, measured, lot) || (gone && inDie(place, measured, lot))) continue;
        oddness = Math.max(oddness, place.weight / limit);
        if (place.weight <= limit) continue;
        calls.push(callPlace(lot, measured, i, place, "its group"));
      }
    }
    if (odd.has(group)) {
      oddness = Math.max(oddness, 1, distanceToLargest(compared, i));
      calls.push(
        ...callsAgainstLargest(lot, measured, i, partDifference(lot, i, norms[0] as GroupNorm, where)),
      );
    }
    return { calls: calls.slice(0, mostCalls), oddness, difference };
  });
}

/** Six times what the oddest fifth of the group shows, never below `leastWeight`. */
function weightLimit(differences: readonly PartDifference[]): number {
  const worst = differences.map((d) => d.places[0]?.weight ?? 0);
  return Math.max(leastWeight, worst.length ? 6 * quantile(worst, 0.8) : 0);
}

function distanceToLargest(compared: ComparedLot, index: number): number {
  const n = compared.distances.size;
  const to = compared.groupOf.flatMap((g, j) =>
    g === 0 ? [compared.distances.values[index * n + j] as number] : [],
  );
  return to.length ? median(to) : 1;
}

function callsAgainstLargest(
  lot: PlacedLot,
  measured: MeasuredLot,
  index: number,
  difference: PartDifference,
): LotCall[] {
  return difference.places
    .filter((p) => p.weight > leastWeight)
    .slice(0, 4)
    .map((place) => callPlace(lot, measured, index, place, "the largest group"));
}

function callPlace(
  lot: PlacedLot,
  measured: MeasuredLot,
  index: number,
  place: DifferingPlace,
  than: string,
): LotCall {
  const die = measured.consensus.die;
  const dieAreaPx = die ? (die.lengthPx * die.widthPx) / lot.by ** 2 : Number.POSITIVE_INFINITY;
  const large = inDie(place, measured, lot) && place.areaPx > 0.25 * dieAreaPx;
  const kind = large
    ? "die"
    : than === "the largest group"
      ? "lead-frame"
      : place.sign > 0
        ? "foreign"
        : "other";
  const word = place.sign > 0 ? "denser" : "lighter";
  const size = Math.round(Math.sqrt(place.areaPx) * lot.by);
  return {
    kind,
    boxPx: intoPicture(lot, index, place.boxPx),
    says: `${word} than ${than} by ${Math.abs(place.by).toFixed(2)} in attenuation over about ${size} x ${size} px`,
  };
}

/**
 * What differs from part to part of one construction within the die's outline and is judged by rules of its own: a
 * lighter spot (a void of the attach) unless it takes a good part of the die away, and the narrow strip along an edge
 * of a die placed or turned a little otherwise, or of its fillet.
 */
function usualInDie(place: DifferingPlace, measured: MeasuredLot, lot: PlacedLot): boolean {
  const die = measured.consensus.die;
  if (!die || !inDie(place, measured, lot)) return false;
  if (place.sign < 0) return place.areaPx < (0.15 * die.lengthPx * die.widthPx) / lot.by ** 2;
  return place.thicknessPx < leastThicknessPx;
}

function inDie(place: DifferingPlace, measured: MeasuredLot, lot: PlacedLot): boolean {
  const die = measured.consensus.die;
  if (!die) return false;
  const near = inCompare(growRectangle(die, 0.15 * die.widthPx), lot.by);
  const [x, y, w, h] = place.boxPx;
  return (
    Math.abs(x + (w - 1) / 2 - near.centrePx[0]) < near.lengthPx / 2 &&
    Math.abs(y + (h - 1) / 2 - near.centrePx[1]) < near.widthPx / 2
  );
}

/** A box of the compare picture as an upright box in the part's own picture. */
export function intoPicture(lot: PlacedLot, index: number, [x, y, w, h]: BoxPx): BoxPx {
  const item = lot.items[index] as PlacedLot["items"][number];
  const map = composeMaps(item.patch.toPicture, item.aligned.map);
  const at = (v: number) => v * lot.by + (lot.by - 1) / 2;
  const corners = [
    [x - 0.5, y - 0.5],
    [x + w - 0.5, y - 0.5],
    [x + w - 0.5, y + h - 0.5],
    [x - 0.5, y + h - 0.5],
  ].map(([u, v]) => applyMap(map, [at(u as number), at(v as number)]));
  const xs = corners.map((c) => c[0]);
  const ys = corners.map((c) => c[1]);
  const left = Math.max(0, Math.min(...xs));
  const top = Math.max(0, Math.min(...ys));
  return [
    left,
    top,
    Math.min(item.picture.widthPx, Math.max(...xs)) - left,
    Math.min(item.picture.heightPx, Math.max(...ys)) - top,
  ];
}

/**
 * Parts without the die that their group has: no die outline could be fitted, and the attenuation where the group's
 * dies lie is nearer to the bare pad's than to the group's.
 */
function absentDies(lot: PlacedLot, measured: MeasuredLot, compared: ComparedLot): (LotCall | null)[] {
  const die = measured.consensus.die;
  const none = lot.items.map(() => null);
  if (!die) return none;
  const inside = lot.items.map((_, i) =>
    levelIn(lot, i, inCompare(growRectangle(die, -0.15 * die.widthPx), lot.by)),
  );
  const beside = lot.items.map((_, i) => besideDie(lot, measured, i));
  return lot.items.map((_, i) => {
    if (measured.parts[i]?.die) return null;
    const peers = compared.groupOf.flatMap((g, j) =>
      g === compared.groupOf[i] && measured.parts[j]?.die ? [j] : [],
    );
    if (peers.length < 3) return null;
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

/** Middle attenuation of the pad beside the die's fillet; the pad's or body's metal level where no such ring is left. */
function besideDie(lot: PlacedLot, measured: MeasuredLot, index: number): number {
  const die = measured.consensus.die as OrientedRectangle;
  const pad = measured.consensus.pad;
  const levels = (measured.parts[index] as MeasuredLot["parts"][number]).inside.levels;
  if (!pad) return levels.mould;
  const outer = inCompare(growRectangle(pad, -0.03 * pad.widthPx), lot.by);
  const inner = inCompare(growRectangle(die, 0.1 * die.widthPx), lot.by);
  const { width, height } = lot.middle;
  const ring = compareMask(width, height, outer, inner);
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

function upright(rect: OrientedRectangle): BoxPx {
  return [
    rect.centrePx[0] - rect.lengthPx / 2 + 0.5,
    rect.centrePx[1] - rect.widthPx / 2 + 0.5,
    rect.lengthPx,
    rect.widthPx,
  ];
}
