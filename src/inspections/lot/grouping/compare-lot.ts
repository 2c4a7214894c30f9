import type { Mask } from "../../../numeric/image.ts";
import { growRectangle } from "../../../numeric/oriented-rectangle.ts";
import { partCharacteristics } from "../measuring/characteristics.ts";
import type { MeasuredLot } from "../measuring/measure-lot.ts";
import type { PlacedLot } from "../placing/place-lot.ts";
import { inCompare, smallBody } from "../placing/place-lot.ts";
import { foldGraded } from "./fold-graded.ts";
import { foldSpecks } from "./fold-specks.ts";
import type { DistanceMatrix, LinkedCharacteristic } from "./group-parts.ts";
import { combineDistances, groupParts, linkCharacteristic, outlineLink } from "./group-parts.ts";
import { outlineDistances, overEqualPoses } from "./outline-distances.ts";
import { compareMask } from "./pair-difference.ts";

/** The lot sorted into constructions. */
export interface ComparedLot {
  /** Group of each part, 0 the largest. */
  readonly groupOf: readonly number[];
  readonly groups: number;
  readonly distances: DistanceMatrix;
  readonly outline: DistanceMatrix;
  /** Outline distance at which two parts are held to differ. */
  readonly outlineLink: number;
  readonly characteristics: readonly LinkedCharacteristic[];
}

/** How far around the die its fillet and placement reach, in its shorter side (common practice). */
const filletShare = 0.2;

/** How far beside its place a clip is set, in the body's shorter side (common practice; `moved-edge.ts`). */
const clipOffShare = 0.03;

/** Outline differences below this share of the body's contrast (mean over the body) never separate parts. */
const leastOutlineShare = 0.0015;
/**
 * Nor do those that a shift of the body's outline by this much of a frame px would make: on a small body that is a
 * larger share.
 */
const leastOutlinePx = 0.08;
/**
 * Above this share parts that stand in open field always differ. Pictures cut from larger ones bring their
 * surroundings along, which may differ by any amount.
 */
const mostOutline = 0.02;
/** On a small body (a chip) ends that are longer and shorter by a px make a larger share. */
const mostOutlinePx = 1;

/** The limits of the outline difference that separates parts, as shares of the contrast. */
function outlineLimits({ frame, by }: PlacedLot): readonly [least: number, most: number] {
  const { lengthPx, widthPx } = smallBody(frame, by);
  const shifted = (px: number) => ((px / by) * 2 * (lengthPx + widthPx)) / (lengthPx * widthPx);
  return [
    Math.max(leastOutlineShare, shifted(leastOutlinePx)),
    Math.max(mostOutline, shifted(mostOutlinePx)),
  ];
}

/** Compares every part with every other and sorts them into groups. */
export function compareLot(lot: PlacedLot, measured: MeasuredLot): ComparedLot {
  const where = outlineMask(lot, measured);
  const asTheyLie = outlineDistances(lot, where);
  const wholeField = lot.items.some((item) => item.patch.part.wholeField);
  const [least, most] = outlineLimits(lot);
  const link = outlineLink(
    asTheyLie,
    least * lot.contrast,
    wholeField ? Number.POSITIVE_INFINITY : most * lot.contrast,
  );
  const outline = wholeField ? asTheyLie : overEqualPoses(lot, asTheyLie, where, link);
  const characteristics = partCharacteristics(lot.items, measured.parts).map(linkCharacteristic);
  const distances = combineDistances(outline, link, characteristics);
  const inLinks = { size: outline.size, values: outline.values.map((v) => v / link) };
  const told = foldGraded(distances, inLinks, characteristics, groupParts(distances));
  const groupOf = foldSpecks(lot, where, characteristics, told);
  return {
    groupOf,
    groups: Math.max(0, ...groupOf) + 1,
    distances,
    outline,
    outlineLink: link,
    characteristics,
  };
}

/**
 * Where outlines are compared: the body, its rim left out (mould and frame shift against each other), and the die, its
 * fillet and the pad on which the fillet runs out left out (they differ from part to part of one construction; die
 * and pad are compared by their measured size); a clip over the die, as far as it is set off.
 */
export function outlineMask(lot: PlacedLot, measured: MeasuredLot): Mask {
  const { die, pad, clip } = measured.consensus;
  const leaveOut = [
    die && growRectangle(die, filletShare * Math.min(die.lengthPx, die.widthPx)),
    die && pad && growRectangle(pad, 2 * lot.by),
    clip && growRectangle(clip, clipOffShare * lot.frame.body.widthPx),
  ].filter((r) => r !== null);
  const body = smallBody(lot.frame, lot.by);
  const inside = lot.items.some((i) => i.patch.part.wholeField)
    ? body
    : growRectangle(body, -0.02 * body.lengthPx);
  const { width, height } = lot.middle;
  return compareMask(
    width,
    height,
    inside,
    leaveOut.map((r) => inCompare(r, lot.by)),
  );
}
