import { labelComponents } from "../../../numeric/components.ts";
import { dilateGrey, erodeGrey } from "../../../numeric/grey-morphology.ts";
import type { BoxPx, Image, Mask } from "../../../numeric/image.ts";
import { createImage, createMask } from "../../../numeric/image.ts";
import { madsPerSigma } from "../../../numeric/order.ts";
import { middleOf } from "../placing/place-lot.ts";
import type { ComparablePart } from "./pair-difference.ts";

/** Parts prepared for comparing, with what counts as a difference between them. */
export interface Comparison {
  readonly comparable: readonly ComparablePart[];
  /** Attenuation differences that noise and tone leave. */
  readonly tolerance: number;
  /** Unit of differences: the range of attenuation inside the body. */
  readonly contrast: number;
  /** Misregistration absorbed, px. */
  readonly slackPx: number;
}

/** A group's middle picture at compare size, with how far its parts stray from it at each pixel. */
export interface GroupNorm {
  readonly middle: Image;
  readonly upper: Image;
  readonly lower: Image;
  /** Standard deviation within the group; 0 where the group is too small to know. */
  readonly spread: Image;
}

/** A connected place where a part is denser (+1) or lighter (-1) than its group allows. */
export interface DifferingPlace {
  readonly sign: 1 | -1;
  /** Upright, compare px. */
  readonly boxPx: BoxPx;
  readonly areaPx: number;
  /** Excess attenuation over the area divided by the body's contrast, px: a fully contrasted area of this many px. */
  readonly weight: number;
  /** Mean attenuation difference from the group's middle over the area. */
  readonly by: number;
}

export interface PartDifference {
  /** Signed excess in units of the tolerance there: 0 within it, beyond +-1 outside it. Compare size. */
  readonly excess: Image;
  /** Weightiest first. */
  readonly places: readonly DifferingPlace[];
}

const leastForSpread = 5;

/** The norm of a group (indices of its parts). */
export function groupNorm(lot: Comparison, members: readonly number[]): GroupNorm {
  const levels = members.map((i) => asImage(lot, i));
  const middle = middleOf(levels);
  const spread = createImage(middle.width, middle.height);
  if (members.length >= leastForSpread) {
    const off = middleOf(
      levels.map((l) => ({
        width: l.width,
        height: l.height,
        data: l.data.map((v, i) => Math.abs(v - (middle.data[i] as number))),
      })),
    );
    for (let i = 0; i < spread.data.length; i++) spread.data[i] = madsPerSigma * (off.data[i] as number);
  }
  return {
    middle,
    upper: dilateGrey(middle, lot.slackPx, "square"),
    lower: erodeGrey(middle, lot.slackPx, "square"),
    spread: dilateGrey(spread, lot.slackPx, "square"),
  };
}

/** Where one part leaves its group's norm, inside `where`. */
export function partDifference(lot: Comparison, index: number, norm: GroupNorm, where: Mask): PartDifference {
  const { width, height, data } = asImage(lot, index);
  const excess = createImage(width, height);
  const dense = createMask(width, height);
  const light = createMask(width, height);
  for (let i = 0; i < data.length; i++) {
    if (!where.data[i]) continue;
    const allowed = lot.tolerance + 4 * (norm.spread.data[i] as number);
    const above = (data[i] as number) - (norm.upper.data[i] as number) - allowed;
    const below = (norm.lower.data[i] as number) - (data[i] as number) - allowed;
    if (above > 0) {
      excess.data[i] = 1 + above / allowed;
      dense.data[i] = 1;
    } else if (below > 0) {
      excess.data[i] = -1 - below / allowed;
      light.data[i] = 1;
    }
  }
  const places = [...placesOf(lot, data, norm, dense, 1), ...placesOf(lot, data, norm, light, -1)];
  return { excess, places: places.sort((p, q) => q.weight - p.weight) };
}

function placesOf(
  lot: Comparison,
  data: Float32Array,
  norm: GroupNorm,
  mask: Mask,
  sign: 1 | -1,
): DifferingPlace[] {
  const { labels, components } = labelComponents(mask, 8);
  const weights = new Float64Array(components.length + 1);
  const sums = new Float64Array(components.length + 1);
  for (let i = 0; i < labels.length; i++) {
    const label = labels[i] as number;
    if (!label) continue;
    const allowed = lot.tolerance + 4 * (norm.spread.data[i] as number);
    const beyond =
      sign > 0
        ? (data[i] as number) - (norm.upper.data[i] as number) - allowed
        : (norm.lower.data[i] as number) - (data[i] as number) - allowed;
    weights[label] = (weights[label] as number) + beyond / lot.contrast;
    sums[label] = (sums[label] as number) + (data[i] as number) - (norm.middle.data[i] as number);
  }
  return components.map((c) => ({
    sign,
    boxPx: c.boxPx,
    areaPx: c.areaPx,
    weight: weights[c.label] as number,
    by: (sums[c.label] as number) / c.areaPx,
  }));
}

function asImage(lot: Comparison, index: number): Image {
  const part = lot.comparable[index] as ComparablePart;
  return { width: part.width, height: part.height, data: part.level };
}
