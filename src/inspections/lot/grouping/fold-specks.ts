import type { Mask } from "../../../numeric/image.ts";
import { median } from "../../../numeric/order.ts";
import { unmovedPlaces } from "../calling/moved-edge.ts";
import { isQuarterTurned, mayLieAcross } from "../details/die-place.ts";
import type { PlacedItem } from "../lot-item.ts";
import type { PlacedLot } from "../placing/place-lot.ts";
import { smallBody } from "../placing/place-lot.ts";
import type { LinkedCharacteristic } from "./group-parts.ts";
import { groupMembers, withoutEmpty } from "./group-parts.ts";
import type { DifferingPlace, PartDifference } from "./part-difference.ts";
import { groupNorm, partDifference } from "./part-difference.ts";

/** A group of at least this many parts says what belongs in each of them. */
const leastGroup = 4;
/** A speck is no larger than this share of the body, no longer than three times its width, and nearly all that differs. */
const mostOfBody = 0.03;
const mostAspect = 3;
const leastShare = 0.7;
/** Groups of up to this share of the largest are taken back where each of their parts differs by moved edges alone. */
const mostFolded = 0.5;

/**
 * Takes parts that are alone in their group back into the largest one where all that tells them apart is one small,
 * compact place, or that their die is turned by a quarter: a solder ball, a void, a die set the wrong way are faults of
 * a part, not another construction. The part is still called for it. So are small groups whose parts differ by edges alone
 * which lie a little elsewhere, as of a lid set beside its place or of a longer termination; those are not called.
 *
 * @param where body pixels on which outlines were compared
 * @returns group of each part, 0 the largest, none empty
 */
export function foldSpecks(
  lot: PlacedLot,
  where: Mask,
  characteristics: readonly LinkedCharacteristic[],
  groupOf: readonly number[],
): number[] {
  const members = groupMembers(groupOf);
  const largest = members[0] ?? [];
  if (largest.length < leastGroup || members.length < 2) return [...groupOf];
  const norm = groupNorm(lot, largest);
  const body = where.data.reduce((sum, inside) => sum + inside, 0);
  const limit = weightLimit(largest.map((i) => partDifference(lot, i, norm, where)));
  const { widthPx } = smallBody(lot.frame, lot.by);
  const differs = (i: number) => {
    const difference = partDifference(lot, i, norm, where);
    return { difference, places: unmovedPlaces(difference, norm.middle, widthPx, lot.slackPx) };
  };
  /** What differs is edges that lie a little elsewhere, and nothing else. */
  const moved = (i: number) => {
    const { difference, places } = differs(i);
    return (
      difference.places.length > places.length &&
      (places[0]?.weight ?? 0) <= limit &&
      sizedLike(characteristics, i, largest)
    );
  };
  const ofOnePart = (i: number) => {
    const { difference, places } = differs(i);
    const turned = mayLieAcross(lot.items[i] as PlacedItem) ? null : turnedDie(characteristics, i, largest);
    if (turned !== null && likeBesideDie(lot, difference, turned, limit)) return true;
    // What would not be called within the group keeps the part apart, else it would be lost.
    return (
      (places[0]?.weight ?? 0) > limit && isSpeck(places, body) && sizedLike(characteristics, i, largest)
    );
  };
  const folded = members
    .slice(1)
    .filter(
      (own) =>
        (own.length === 1 && ofOnePart(own[0] as number)) ||
        (own.length <= mostFolded * largest.length && own.every(moved)),
    );
  const told = [...groupOf];
  for (const i of folded.flat()) told[i] = 0;
  return withoutEmpty(told);
}

/** The length of a part's die where it is the others' turned by a quarter, and nothing else measured differs; else null. */
function turnedDie(
  characteristics: readonly LinkedCharacteristic[],
  i: number,
  others: readonly number[],
): number | null {
  const [length, width] = ["dieLength", "dieWidth"].map((name) =>
    characteristics.find((c) => c.name === name),
  );
  const own = { lengthPx: length?.values[i] ?? null, widthPx: width?.values[i] ?? null };
  if (!length || !width || own.lengthPx === null || own.widthPx === null) return null;
  const middle = ({ values }: LinkedCharacteristic) => {
    const seen = others.flatMap((j) => values[j] ?? []);
    return seen.length ? median(seen) : 0;
  };
  const rest = characteristics.filter((c) => c !== length && c !== width);
  const turned = isQuarterTurned(
    { lengthPx: own.lengthPx, widthPx: own.widthPx },
    middle(length),
    middle(width),
  );
  return turned && sizedLike(rest, i, others) ? Math.max(own.lengthPx, own.widthPx) : null;
}

/** How far from the body's middle a turned die and its fillet reach, in its longer side. */
const turnedReach = 0.75;

/** Whether nothing differs beyond where a turned die reaches. */
function likeBesideDie(
  lot: PlacedLot,
  difference: PartDifference,
  dieLengthPx: number,
  limit: number,
): boolean {
  const { centrePx } = smallBody(lot.frame, lot.by);
  const reach = (turnedReach * dieLengthPx) / lot.by;
  return difference.places.every(({ weight, boxPx: [x, y, width, height] }) => {
    const off = Math.max(
      Math.abs(x + (width - 1) / 2 - centrePx[0]),
      Math.abs(y + (height - 1) / 2 - centrePx[1]),
    );
    return weight <= limit || off < reach;
  });
}

function sizedLike(
  characteristics: readonly LinkedCharacteristic[],
  i: number,
  others: readonly number[],
): boolean {
  return characteristics.every(({ values, link }) => {
    const own = values[i] ?? null;
    const seen = others.flatMap((j) => values[j] ?? []);
    return link === null || own === null || !seen.length || Math.abs(own - median(seen)) <= link;
  });
}

/**
 * Whether one small, compact place is nearly all that differs.
 *
 * @param places weightiest first
 * @param bodyPx area of the body at compare size
 */
export function isSpeck(places: readonly DifferingPlace[], bodyPx: number): boolean {
  const first = places[0];
  if (!first) return false;
  const total = places.reduce((sum, place) => sum + place.weight, 0);
  const [, , width, height] = first.boxPx;
  return (
    first.weight >= leastShare * total &&
    first.areaPx <= mostOfBody * bodyPx &&
    Math.max(width, height) <= mostAspect * Math.min(width, height)
  );
}

/** Places lighter than this (px of full contrast at compare size) are never called, however alike the rest are. */
export const leastWeight = 5;

/**
 * The weight at which a place is called: six times what four fifths of a group stay within, at least `leastWeight`.
 * No value between two parts is taken: of ten, two odd ones must not lift it.
 */
export function weightLimit(differences: readonly PartDifference[]): number {
  const worst = differences.map((d) => d.places[0]?.weight ?? 0).sort((a, b) => a - b);
  return Math.max(leastWeight, 6 * (worst[Math.floor(0.8 * (worst.length - 1))] ?? 0));
}
