import { mapBetweenReduced } from "../../../align/pyramid.ts";
import type { AffineMap } from "../../../align/similarity.ts";
import type { Image } from "../../../numeric/image.ts";
import { median, quantile } from "../../../numeric/order.ts";
import type { OrientedRectangle } from "../../../numeric/oriented-rectangle.ts";
import { warpAffine } from "../../../numeric/warp.ts";
import { opacity } from "../../../radiograph/opacity.ts";
import type { Patch } from "../finding/patch.ts";

/** The frame all parts of a lot are brought into: the reference part lying straight, long side across. */
export interface LotFrame {
  readonly width: number;
  readonly height: number;
  /** Body of the reference part in the frame, upright. */
  readonly body: OrientedRectangle;
  /** How far the reference part reaches from its body's middle, leads included, frame px: beyond it lie other parts. */
  readonly reachPx: readonly [along: number, across: number];
  /** Reference-patch px per frame px. */
  readonly reducedBy: number;
  /** Picture px per patch px of the reference. */
  readonly patchReducedBy: number;
  /** Turn of the reference part in its own picture. */
  readonly referenceTurnRad: number;
  /** Each picture of the lot is a part with its surroundings, cut out of a larger picture. */
  readonly wholeField: boolean;
}

export interface AlignedPart {
  /** Frame pixel -> patch pixel. */
  readonly map: AffineMap;
  /** 0..1: how well it lies on the reference. */
  readonly correlation: number;
  readonly turnDeg: number;
  readonly mirrored: boolean;
  readonly scale: number;
  /** The other poses that were followed to full size, best first. */
  readonly alternatives: readonly AlignedPart[];
  /** Whether it fits about as well as the best pose of its part. */
  readonly equal: boolean;
}

const mostFramePx = 400_000;

/**
 * The part of middling size that is most at home in its picture, and holds about as much as the others: first guess of
 * the lot's medoid. On an empty package nothing else would be aligned.
 */
export function chooseReference(patches: readonly Patch[]): number {
  if (patches.every((p) => p.part.wholeField)) return middlingCrop(patches);
  const holdsLittle = unlikeContents(patches);
  const area = median(patches.map((p) => p.body.lengthPx * p.body.widthPx));
  const ratio = median(patches.map((p) => p.body.lengthPx / p.body.widthPx));
  let best = 0;
  let bestOff = Number.POSITIVE_INFINITY;
  patches.forEach((p, i) => {
    const off =
      Math.abs(Math.log((p.body.lengthPx * p.body.widthPx) / area)) +
      Math.abs(Math.log(p.body.lengthPx / p.body.widthPx / ratio)) +
      (p.part.fit || p.part.wholeField ? 0 : 1) +
      (holdsLittle[i] ? 1 : 0);
    if (off < bestOff) {
      bestOff = off;
      best = i;
    }
  });
  return best;
}

/** Values of a picture looked at for its contents, about. */
const contentSamples = 4000;
/** Contents this many times as far from the lot's middle as the middling part's are another part's. */
const unlikeFactor = 4;

/** Whether what a part holds, whatever way it lies, is far from what the middling part does. */
function unlikeContents(patches: readonly Patch[]): boolean[] {
  const profiles = patches.map(({ image: { data } }) => {
    const step = Math.max(1, Math.floor(data.length / contentSamples));
    const sampled = Float32Array.from(
      { length: Math.floor(data.length / step) },
      (_, k) => data[k * step] as number,
    );
    const sorted = sampled.filter((v) => !Number.isNaN(v)).sort();
    return profileShares.map((share) => sorted[Math.floor(share * (sorted.length - 1))] ?? 0);
  });
  const off = fromMiddle(profiles);
  const limit = unlikeFactor * median(off);
  return off.map((v) => v > limit);
}

const profileShares = [0.05, 0.15, 0.25, 0.35, 0.45, 0.55, 0.65, 0.75, 0.85, 0.95];

/** By profile, how far it lies from the lot's middle one. */
function fromMiddle(profiles: readonly (readonly number[])[]): number[] {
  const middle = profileShares.map((_, k) => median(profiles.map((profile) => profile[k] as number)));
  return profiles.map((profile) =>
    profile.reduce((sum, value, k) => sum + Math.abs(value - (middle[k] as number)), 0),
  );
}

/**
 * Crops are all of one size: the one whose values are distributed most like the middle of the lot's, whatever way it
 * lies, so that an odd part does not become the frame in which the others are aligned.
 */
function middlingCrop(patches: readonly Patch[]): number {
  const profiles = patches.map((p) => profileShares.map((share) => opacity(quantile(p.image.data, share))));
  const off = fromMiddle(profiles);
  return off.indexOf(Math.min(...off));
}

/** The frame around a reference part. */
export function lotFrame(reference: Patch): LotFrame {
  const { part, reducedBy: patchBy } = reference;
  const margin = part.wholeField ? 0 : Math.max(4, 0.03 * reference.body.lengthPx);
  const halfWidth = part.reachPx[0] / patchBy + margin;
  const halfHeight = part.reachPx[1] / patchBy + margin;
  const reducedBy = Math.max(1, Math.sqrt((4 * halfWidth * halfHeight) / mostFramePx));
  const width = Math.max(8, Math.round((2 * halfWidth) / reducedBy));
  const height = Math.max(8, Math.round((2 * halfHeight) / reducedBy));
  return {
    width,
    height,
    reducedBy,
    patchReducedBy: patchBy,
    referenceTurnRad: reference.body.angleRad,
    wholeField: part.wholeField,
    reachPx: [part.reachPx[0] / patchBy / reducedBy, part.reachPx[1] / patchBy / reducedBy],
    body: {
      centrePx: [(width - 1) / 2, (height - 1) / 2],
      angleRad: 0,
      lengthPx: reference.body.lengthPx / reducedBy,
      widthPx: reference.body.widthPx / reducedBy,
    },
  };
}

/** Frame pixel -> patch pixel for a pose, from the bodies alone. */
export function poseFromBodies(
  frame: LotFrame,
  patch: Patch,
  turnRad: number,
  mirrored: boolean,
  scale: number,
): AffineMap {
  const angle = patch.body.angleRad + turnRad;
  const c = Math.cos(angle) * frame.reducedBy * scale;
  const s = Math.sin(angle) * frame.reducedBy * scale;
  const flip = mirrored ? -1 : 1;
  const [fx, fy] = frame.body.centrePx;
  const [px, py] = patch.body.centrePx;
  const a = c;
  const b = -s * flip;
  const d = s;
  const e = c * flip;
  return { a, b, c: px - a * fx - b * fy, d, e, f: py - d * fx - e * fy };
}

/** The reference part in its own frame: lying as it does, unmirrored. */
export function referenceMap(frame: LotFrame, reference: Patch): AffineMap {
  return poseFromBodies(frame, reference, 0, false, 1);
}

/** Beyond a part's reach this much of its body's length is still its own: blur, and leads a little longer. */
const reachMargin = 0.01;

/**
 * A picture in the frame with NaN where, beyond the reference part's reach, other parts may lie.
 *
 * @param safely leave out what is near the reach too: parts that touch reach into each other's margin
 */
export function ownPixels(frame: LotFrame, image: Image, by = 1, safely = false): Image {
  if (frame.wholeField) return image;
  const { width, height } = image;
  const data = image.data.slice();
  const margin = (2 + reachMargin * frame.body.lengthPx) * (safely ? -1 : 1);
  const [along, across] = frame.reachPx.map((reach) => (reach + margin) / by) as [number, number];
  for (let y = 0; y < height; y++) {
    const outside = Math.abs(y - (height - 1) / 2) > across;
    for (let x = 0; x < width; x++) {
      if (outside || Math.abs(x - (width - 1) / 2) > along) data[y * width + x] = Number.NaN;
    }
  }
  return { width, height, data };
}

/** The same part in another of its poses. */
export function inPose(part: AlignedPart, index: number): AlignedPart {
  const { alternatives, ...rest } = part;
  return {
    ...(alternatives[index] as AlignedPart),
    alternatives: [{ ...rest, alternatives: [] }, ...alternatives.filter((_, i) => i !== index)],
  };
}

/**
 * The same part once it is settled how it lies.
 *
 * @param chosen 0 for its present pose, n for its alternative n - 1
 * @param equal the others that are not told from the chosen one, counted alike
 */
export function lyingIn(part: AlignedPart, chosen: number, equal: readonly number[]): AlignedPart {
  const { alternatives, ...own } = part;
  const poses = [own, ...alternatives].map((pose, k) => ({
    ...pose,
    alternatives: [],
    equal: k === chosen || equal.includes(k),
  }));
  return {
    ...(poses[chosen] as AlignedPart),
    alternatives: poses.filter((_, k) => k !== chosen),
  };
}

/** A part's attenuation in the frame. Pixels outside its patch are NaN. */
export function intoFrame(frame: LotFrame, patch: Patch, map: AffineMap, by = 1): Image {
  const width = Math.floor(frame.width / by);
  const height = Math.floor(frame.height / by);
  const depth = Math.max(
    0,
    Math.min(
      patch.pyramid.levels.length - 1,
      // Parts lie a per cent or two nearer or farther: that makes no other level.
      Math.floor(Math.log2(Math.hypot(map.a, map.d) * by) + 0.05),
    ),
  );
  const moving = patch.pyramid.levels[depth] as Image;
  return warpAffine(moving, mapBetweenReduced(map, by, 2 ** depth), width, height);
}
