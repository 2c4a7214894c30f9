import { dilateGrey, erodeGrey } from "../../../numeric/grey-morphology.ts";
import type { Image, Mask } from "../../../numeric/image.ts";
import { createImage } from "../../../numeric/image.ts";
import { robustSpread } from "../../../numeric/order.ts";
import { comparablePart, pairDifference } from "../grouping/pair-difference.ts";
import type { GroupNorm, PartDifference } from "../grouping/part-difference.ts";
import { partDifference } from "../grouping/part-difference.ts";
import type { PlacedItem } from "../lot-item.ts";
import { inPose, intoFrame } from "../placing/align-lot.ts";
import type { Tone } from "../placing/match-tone.ts";
import { matchTone, toned } from "../placing/match-tone.ts";
import type { PlacedLot } from "../placing/place-lot.ts";
import { matchUnsharpness } from "./match-unsharpness.ts";

/** An exemplar on one group of the lot, both at compare size, in one tone and equally sharp. */
export interface ExemplarOnGroup {
  readonly item: PlacedItem;
  /** Takes its attenuation to the group's. */
  readonly tone: Tone;
  /** Outline difference, as between two parts of the lot. */
  readonly outline: number;
  /** Attenuation differences that noise and the other technique leave. */
  readonly tolerance: number;
  /** Where the group leaves the exemplar. */
  readonly difference: PartDifference;
  /** It and its other poses that fit about as well: outlines do not tell how it lies. */
  readonly near: readonly PlacedItem[];
}

/** What another technique may leave after the tone is matched, as a share of the contrast, at most. */
const mostToneShare = 0.08;

/** Poses whose outlines differ by less than this factor, or by less than this share of the contrast, are not told apart. */
const nearlyAsWell = 2;
const leastTold = 0.001;

/**
 * Lays an exemplar on a group in whichever of its poses fits best: of a symmetric package nothing else says how it lies.
 *
 * @param outlineWhere pixels in which outlines are compared
 * @param shown pixels in which differences are shown
 */
export function layOnGroup(
  lot: PlacedLot,
  item: PlacedItem,
  average: Image,
  outlineWhere: Mask,
  shown: Mask,
): ExemplarOnGroup {
  const poses = [
    item,
    ...item.aligned.alternatives.map((_, k) => ({ ...item, aligned: inPose(item.aligned, k) })),
  ];
  const laid = poses.map((posed) => inThisPose(lot, posed, average, outlineWhere, shown));
  const best = laid.reduce((least, one) => (one.outline < least.outline ? one : least));
  const most = Math.max(nearlyAsWell * best.outline, leastTold * lot.contrast);
  return { ...best, near: laid.filter((one) => one.outline <= most).map((one) => one.item) };
}

type LaidOnGroup = Omit<ExemplarOnGroup, "near">;

function inThisPose(
  lot: PlacedLot,
  item: PlacedItem,
  average: Image,
  outlineWhere: Mask,
  shown: Mask,
): LaidOnGroup {
  const { frame, by, slackPx, contrast } = lot;
  const image = intoFrame(frame, item.patch, item.aligned.map, by);
  const tone = matchTone(image, average);
  const inTone = toned(image, tone);
  const pair = matchUnsharpness(inTone, average, outlineWhere);
  const tolerance = Math.max(
    lot.tolerance,
    4 * item.picture.openNoise,
    Math.min(mostToneShare * contrast, 3 * leftByTone(pair.image, pair.onto, outlineWhere)),
  );
  const exemplar = comparablePart(pair.image, pair.onto, slackPx);
  const group = comparablePart(pair.onto, pair.image, slackPx);
  const level: Image = { width: exemplar.width, height: exemplar.height, data: exemplar.level };
  const norm: GroupNorm = {
    middle: level,
    upper: dilateGrey(level, slackPx, "square"),
    lower: erodeGrey(level, slackPx, "square"),
    spread: createImage(level.width, level.height),
  };
  return {
    item,
    tone,
    outline: pairDifference(exemplar, group, outlineWhere, tolerance),
    tolerance,
    difference: partDifference({ comparable: [group], tolerance, contrast, slackPx }, 0, norm, shown),
  };
}

/** What the tone leaves between most pixels, as a standard deviation. */
function leftByTone(a: Image, b: Image, where: Mask): number {
  const off: number[] = [];
  for (let i = 0; i < where.data.length; i++) {
    if (where.data[i]) off.push((a.data[i] as number) - (b.data[i] as number));
  }
  return robustSpread(off, 0);
}
