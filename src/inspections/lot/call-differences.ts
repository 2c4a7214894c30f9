import type { AffineMap } from "../../align/similarity.ts";
import { applyMap, composeMaps, invertMap } from "../../align/similarity.ts";
import type { BoxPx, Image } from "../../numeric/image.ts";
import { median, quantile } from "../../numeric/order.ts";
import type { OrientedRectangle } from "../../numeric/oriented-rectangle.ts";
import { growRectangle } from "../../numeric/oriented-rectangle.ts";
import type { ComparedLot } from "./compare-lot.ts";
import { outlineMask } from "./compare-lot.ts";
import { toPictureMap } from "./describe-part.ts";
import { dieComparison } from "./die-comparison.ts";
import { groupMembers } from "./group-parts.ts";
import { insideValues } from "./inside-body.ts";
import type { PlacedItem } from "./lot-item.ts";
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
  /** Signed difference in units of its tolerance, at compare size; for the overlay. */
  readonly excess: Image;
}

/** Places lighter than this (px of full contrast at compare size) are never called, however alike the rest are. */
const leastWeight = 5;
const mostCalls = 6;
/** A group of at least this many parts says what belongs in each of them. */
const leastGroup = 4;

/**
 * Calls on every part against its own group: the frame in the lot's frame, the die on its own outline. Parts of the
 * odd groups are also called against the largest one.
 *
 * @param odd groups held to be the odd ones of the lot
 */
export function callDifferences(
  lot: PlacedLot,
  measured: MeasuredLot,
  compared: ComparedLot,
  odd: ReadonlySet<number>,
): CalledPart[] {
  const whole = compareMask(lot.middle.width, lot.middle.height, smallBody(lot.frame, lot.by));
  const outline = outlineMask(lot, measured);
  const members = groupMembers(compared.groupOf);
  const norms = members.map((own) => groupNorm(lot, own));
  const own = lot.items.map((_, i) =>
    partDifference(
      lot,
      i,
      norms[compared.groupOf[i] as number] as GroupNorm,
      measured.parts[i]?.die ? outline : whole,
    ),
  );
  const limits = members.map((of) => weightLimit(of.map((i) => own[i] as PartDifference)));
  const dies = dieDifferences(lot, measured, compared);
  const dieGone = absentDies(lot, measured, compared);
  return lot.items.map((_, i) => {
    const group = compared.groupOf[i] as number;
    const calls: LotCall[] = [];
    let oddness = 0;
    const gone = dieGone[i];
    if (gone) {
      calls.push(gone);
      oddness = 2;
    }
    const difference = own[i] as PartDifference;
    const die = dies.get(i);
    if ((members[group] as number[]).length >= leastGroup) {
      const limit = limits[group] as number;
      for (const place of difference.places) {
        if (gone && inDie(place, measured, lot)) continue;
        oddness = Math.max(oddness, place.weight / limit);
        if (place.weight > limit) {
          calls.push(callPlace(lot, measured, place, intoPicture(lot, i, place.boxPx), "its group"));
        }
      }
      for (const place of die?.difference.places ?? []) {
        if (isVoid(place, measured, lot)) continue;
        oddness = Math.max(oddness, place.weight / (die as DieDifference).limit);
        if (place.weight > (die as DieDifference).limit) {
          const boxPx = boxThrough((die as DieDifference).toPicture, place.boxPx, lot.items[i] as PlacedItem);
          calls.push(callPlace(lot, measured, place, boxPx, "the dies of its group"));
        }
      }
    }
    if (odd.has(group)) {
      oddness = Math.max(oddness, 1, distanceToLargest(compared, i));
      calls.push(
        ...callsAgainstLargest(lot, measured, i, partDifference(lot, i, norms[0] as GroupNorm, whole)),
      );
    }
    const excess = die ? withDie(lot, i, difference.excess, die) : difference.excess;
    return { calls: calls.slice(0, mostCalls), oddness, excess };
  });
}

interface DieDifference {
  readonly difference: PartDifference;
  readonly limit: number;
  readonly toPicture: AffineMap;
  readonly toPatch: AffineMap;
}

/** Each die against the dies of its group, by part. */
function dieDifferences(
  lot: PlacedLot,
  measured: MeasuredLot,
  compared: ComparedLot,
): Map<number, DieDifference> {
  const found = new Map<number, DieDifference>();
  const dies = dieComparison(lot, measured);
  if (!dies) return found;
  for (let group = 0; group < compared.groups; group++) {
    const members = dies.of.flatMap((i, k) => (compared.groupOf[i] === group ? [k] : []));
    if (members.length < leastGroup) continue;
    const norm = groupNorm(dies, members);
    const differences = members.map((k) => partDifference(dies, k, norm, dies.where));
    const limit = weightLimit(differences);
    members.forEach((k, m) => {
      found.set(dies.of[k] as number, {
        difference: differences[m] as PartDifference,
        limit,
        toPicture: dies.toPicture[k] as AffineMap,
        toPatch: dies.toPatch[k] as AffineMap,
      });
    });
  }
  return found;
}

/** The frame's difference picture with the die's painted in where the die lies. */
function withDie(lot: PlacedLot, index: number, excess: Image, die: DieDifference): Image {
  const out: Image = { ...excess, data: excess.data.slice() };
  const item = lot.items[index] as PlacedItem;
  const toFrame = composeMaps(invertMap(item.aligned.map), die.toPatch);
  const tile = die.difference.excess;
  for (let y = 0; y < tile.height; y++) {
    for (let x = 0; x < tile.width; x++) {
      const v = tile.data[y * tile.width + x] as number;
      if (v === 0) continue;
      const [fx, fy] = applyMap(toFrame, [x, y]);
      const u = Math.round((fx - (lot.by - 1) / 2) / lot.by);
      const w = Math.round((fy - (lot.by - 1) / 2) / lot.by);
      if (u >= 0 && w >= 0 && u < out.width && w < out.height) out.data[w * out.width + u] = v;
    }
  }
  return out;
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
    .map((place) =>
      callPlace(lot, measured, place, intoPicture(lot, index, place.boxPx), "the largest group"),
    );
}

function callPlace(
  lot: PlacedLot,
  measured: MeasuredLot,
  place: DifferingPlace,
  boxPx: BoxPx,
  than: "its group" | "the dies of its group" | "the largest group",
): LotCall {
  const die = measured.consensus.die;
  const dieAreaPx = die ? (die.lengthPx * die.widthPx) / lot.by ** 2 : Number.POSITIVE_INFINITY;
  const onDie = than === "the dies of its group" || inDie(place, measured, lot);
  const large = onDie && place.areaPx > 0.25 * dieAreaPx;
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
    boxPx,
    says: `${word} than ${than} by ${Math.abs(place.by).toFixed(2)} in attenuation over about ${size} x ${size} px`,
  };
}

/** A lighter spot of the die that is no good part of it: a void of the attach, which is judged by a rule of its own. */
function isVoid(place: DifferingPlace, measured: MeasuredLot, lot: PlacedLot): boolean {
  const die = measured.consensus.die;
  return die !== null && place.sign < 0 && place.areaPx < (0.15 * die.lengthPx * die.widthPx) / lot.by ** 2;
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
function intoPicture(lot: PlacedLot, index: number, boxPx: BoxPx): BoxPx {
  const item = lot.items[index] as PlacedItem;
  const enlarge: AffineMap = { a: lot.by, b: 0, c: (lot.by - 1) / 2, d: 0, e: lot.by, f: (lot.by - 1) / 2 };
  return boxThrough(composeMaps(toPictureMap(item), enlarge), boxPx, item);
}

/** The upright box around a mapped box, within the picture. */
function boxThrough(map: AffineMap, [x, y, w, h]: BoxPx, { picture }: PlacedItem): BoxPx {
  const corners = [
    [x - 0.5, y - 0.5],
    [x + w - 0.5, y - 0.5],
    [x + w - 0.5, y + h - 0.5],
    [x - 0.5, y + h - 0.5],
  ].map(([u, v]) => applyMap(map, [u as number, v as number]));
  const xs = corners.map((c) => c[0]);
  const ys = corners.map((c) => c[1]);
  const left = Math.min(Math.max(0, Math.min(...xs)), picture.widthPx);
  const top = Math.min(Math.max(0, Math.min(...ys)), picture.heightPx);
  const right = Math.min(picture.widthPx, Math.max(left, ...xs));
  const bottom = Math.min(picture.heightPx, Math.max(top, ...ys));
  return [left, top, right - left, bottom - top];
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

function upright(rect: OrientedRectangle): BoxPx {
  return [
    rect.centrePx[0] - rect.lengthPx / 2 + 0.5,
    rect.centrePx[1] - rect.widthPx / 2 + 0.5,
    rect.lengthPx,
    rect.widthPx,
  ];
}
