import type { Alignment, AlignmentTemplate } from "../../align/gauss-newton.ts";
import { alignGaussNewton, alignmentTemplate } from "../../align/gauss-newton.ts";
import { mapBetweenReduced, mapFromReduced } from "../../align/pyramid.ts";
import type { AffineMap } from "../../align/similarity.ts";
import type { Image } from "../../numeric/image.ts";
import { median, quantile } from "../../numeric/order.ts";
import type { OrientedRectangle } from "../../numeric/oriented-rectangle.ts";
import { reduceBy } from "../../numeric/resample.ts";
import { warpAffine } from "../../numeric/warp.ts";
import { opacity } from "../../radiograph/opacity.ts";
import type { Patch } from "./patch.ts";

/** The frame all parts of a lot are brought into: the reference part lying straight, long side across. */
export interface LotFrame {
  readonly width: number;
  readonly height: number;
  /** Body of the reference part in the frame, upright. */
  readonly body: OrientedRectangle;
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
/** Poses whose misfit is within this factor of the best are not told apart. */
const ambiguityFactor = 1.35;

/** The part of middling size that is most at home in its picture: first guess of the lot's medoid. */
export function chooseReference(patches: readonly Patch[]): number {
  if (patches.every((p) => p.part.wholeField)) return middlingCrop(patches);
  const area = median(patches.map((p) => p.body.lengthPx * p.body.widthPx));
  const ratio = median(patches.map((p) => p.body.lengthPx / p.body.widthPx));
  let best = 0;
  let bestOff = Number.POSITIVE_INFINITY;
  patches.forEach((p, i) => {
    const off =
      Math.abs(Math.log((p.body.lengthPx * p.body.widthPx) / area)) +
      Math.abs(Math.log(p.body.lengthPx / p.body.widthPx / ratio)) +
      (p.part.fit || p.part.wholeField ? 0 : 1);
    if (off < bestOff) {
      bestOff = off;
      best = i;
    }
  });
  return best;
}

/**
 * Crops are all of one size: the one whose values are distributed most like the middle of the lot's, whatever way it
 * lies, so that an odd part does not become the frame in which the others are aligned.
 */
function middlingCrop(patches: readonly Patch[]): number {
  const shares = [0.05, 0.15, 0.25, 0.35, 0.45, 0.55, 0.65, 0.75, 0.85, 0.95];
  const profiles = patches.map((p) => shares.map((share) => opacity(quantile(p.image.data, share))));
  const middle = shares.map((_, k) => median(profiles.map((profile) => profile[k] as number)));
  const off = profiles.map((profile) =>
    profile.reduce((sum, value, k) => sum + Math.abs(value - (middle[k] as number)), 0),
  );
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
    body: {
      centrePx: [(width - 1) / 2, (height - 1) / 2],
      angleRad: 0,
      lengthPx: reference.body.lengthPx / reducedBy,
      widthPx: reference.body.widthPx / reducedBy,
    },
  };
}

/** Frame pixel -> patch pixel for a pose, from the bodies alone. */
function poseFromBodies(
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

/** A reference picture in the frame with its templates at each size. */
export interface FrameReference {
  readonly frame: LotFrame;
  readonly levels: readonly { readonly by: number; readonly template: AlignmentTemplate }[];
}

/** Prepares a reference picture (frame-sized) for aligning. */
export function frameReference(frame: LotFrame, image: Image): FrameReference {
  const longest = Math.max(frame.width, frame.height);
  const levels: { by: number; template: AlignmentTemplate }[] = [];
  for (let by = 1; longest / by >= 56 || by === 1; by *= 2) {
    levels.push({
      by,
      template: alignmentTemplate(by > 1 ? reduceBy(image, by) : image, by === 1 ? 0.15 : 0.3),
    });
  }
  return { frame, levels };
}

/**
 * Brings a patch onto the reference over all turns and both mirror images.
 *
 * The bodies give the turn up to a half turn (a quarter turn for bodies within 12 % of square); each
 * candidate slides into place at the smallest size, the best are followed to full size. Where none fits,
 * every 10 degrees is tried. Pictures cut from a larger one lie as they were cut, at one scale: there only quarter
 * turns are tried, and turn and scale are held. A part that slides nowhere plausible stays where its body lies.
 */
export function alignPatch(reference: FrameReference, patch: Patch): AlignedPart {
  const { frame } = reference;
  const aspect = patch.body.lengthPx / patch.body.widthPx;
  const quarter = aspect < 1.12 || frame.body.lengthPx / frame.body.widthPx < 1.12;
  const turns = quarter ? [0, 90, 180, 270] : [0, 180];
  let candidates = coarsePoses(reference, patch, turns);
  if (!frame.wholeField && (candidates[0]?.alignment.correlation ?? -1) < 0.5) {
    const every = Array.from({ length: 36 }, (_, i) => i * 10);
    candidates = [...candidates, ...coarsePoses(reference, patch, every)].sort(byCorrelation);
  }
  const finest = candidates.length
    ? follow(reference, patch, candidates.slice(0, frame.wholeField ? 8 : 4))
    : restingPoses(reference, patch, turns);
  finest.sort(byCorrelation);
  const least = misfit(finest[0] as Candidate);
  const equal = finest.filter((c) => misfit(c) < ambiguityFactor * least);
  // Poses that fit equally well: a part lies as its neighbours do until it shows otherwise.
  const best = equal.reduce((b, c) => (strangeness(c, frame) < strangeness(b, frame) - 0.1 ? c : b));
  const others = finest.filter((c) => !samePose(c, best));
  return describe(frame, patch, best, others, (c) => equal.includes(c));
}

interface Candidate {
  readonly mirrored: boolean;
  readonly alignment: Alignment;
}

const misfit = (c: Candidate) => Math.sqrt(Math.max(1e-9, 1 - c.alignment.correlation));

const byCorrelation = (p: Candidate, q: Candidate) => q.alignment.correlation - p.alignment.correlation;

/** The poses in which the bodies lie on each other, unmoved. */
function restingPoses(reference: FrameReference, patch: Patch, turnsDeg: readonly number[]): Candidate[] {
  const finest = reference.levels[0] as FrameReference["levels"][number];
  return startPoses(reference.frame, patch, turnsDeg).map(({ mirrored, start }) => ({
    mirrored,
    alignment: slide(finest, patch, start, reference.frame, 0),
  }));
}

function startPoses(frame: LotFrame, patch: Patch, turnsDeg: readonly number[]) {
  const scale = relativeBodySize(frame, patch);
  return [false, true].flatMap((mirrored) =>
    turnsDeg.map((turn) => ({
      mirrored,
      start: poseFromBodies(frame, patch, (turn * Math.PI) / 180, mirrored, scale),
    })),
  );
}

function coarsePoses(reference: FrameReference, patch: Patch, turnsDeg: readonly number[]): Candidate[] {
  const { frame } = reference;
  const level = reference.levels[reference.levels.length - 1] as FrameReference["levels"][number];
  const found: Candidate[] = [];
  for (const { mirrored, start } of startPoses(frame, patch, turnsDeg)) {
    const alignment = slide(level, patch, start, frame);
    if (plausible(alignment.map, start, frame)) found.push({ mirrored, alignment });
  }
  return found.sort(byCorrelation);
}

/** Body size relative to the reference, trusted only where both bodies were fitted and nearly agree. */
function relativeBodySize(frame: LotFrame, patch: Patch): number {
  const ratio = Math.sqrt(
    (patch.body.lengthPx * patch.body.widthPx) /
      (frame.body.lengthPx * frame.body.widthPx * frame.reducedBy ** 2),
  );
  return patch.part.fit && ratio > 0.85 && ratio < 1.18 ? ratio : 1;
}

/** An alignment that left its start by a tenth of the frame or 15 % in scale has slid onto something else. */
function plausible(map: AffineMap, start: AffineMap, frame: LotFrame): boolean {
  const [x, y] = frame.body.centrePx;
  const dx = (map.a - start.a) * x + (map.b - start.b) * y + map.c - start.c;
  const dy = (map.d - start.d) * x + (map.e - start.e) * y + map.f - start.f;
  const size = Math.hypot(start.a, start.d);
  const grown = Math.hypot(map.a, map.d) / size;
  return (
    Math.hypot(dx, dy) < 0.12 * Math.min(frame.width, frame.height) * size + 3 && grown > 0.85 && grown < 1.18
  );
}

/** Runs the alignment at one size, on the patch level of about the same pixel size. */
function slide(
  level: FrameReference["levels"][number],
  patch: Patch,
  map: AffineMap,
  frame: LotFrame,
  iterations = 20,
): Alignment {
  const patchPxPerPx = frame.reducedBy * level.by;
  const depth = Math.max(0, Math.min(patch.pyramid.levels.length - 1, Math.round(Math.log2(patchPxPerPx))));
  const by = 2 ** depth;
  const moving = patch.pyramid.levels[depth] as Image;
  // Smaller sizes only lead to the next one: a tenth of the full size's care is enough.
  const leastStepPx = level.by === 1 ? 0.002 : 0.02;
  const result = alignGaussNewton(level.template, moving, mapBetweenReduced(map, level.by, by), {
    leastStepPx,
    iterations,
    fixedScale: frame.wholeField,
    fixedTurn: frame.wholeField,
  });
  return { ...result, map: mapFromReduced(result.map, level.by, by) };
}

/** At a smaller size a pose this many times worse than the best is no twin of it. */
const hopelessFactor = 2;

/** Follows poses from the smallest size, where they lie, to full size, leaving the hopeless ones behind. */
function follow(reference: FrameReference, patch: Patch, candidates: readonly Candidate[]): Candidate[] {
  const { frame, levels } = reference;
  let followed = [...candidates];
  for (const level of levels.slice(0, -1).reverse()) {
    followed = followed.map((c) => ({ ...c, alignment: slide(level, patch, c.alignment.map, frame) }));
    if (frame.wholeField || level.by === 1) continue;
    const most = hopelessFactor * Math.min(...followed.map(misfit));
    followed = followed.filter((c) => misfit(c) <= most);
  }
  return followed;
}

function poseOf(map: AffineMap, frame: LotFrame) {
  return {
    turnDeg: (Math.atan2(map.d, map.a) * 180) / Math.PI,
    mirrored: map.a * map.e - map.b * map.d < 0,
    scale: Math.hypot(map.a, map.d) / frame.reducedBy,
  };
}

/** Unlike the reference part's own pose in its picture: mirrored counts most, then the turn. */
function strangeness(c: Candidate, frame: LotFrame): number {
  const turn = Math.atan2(c.alignment.map.d, c.alignment.map.a);
  return (c.mirrored ? 3 : 0) + 1 - Math.cos(turn - frame.referenceTurnRad);
}

function samePose(p: Candidate, q: Candidate): boolean {
  const turn = (m: AffineMap) => Math.atan2(m.d, m.a);
  const off = Math.cos(turn(p.alignment.map) - turn(q.alignment.map));
  return p.mirrored === q.mirrored && off > Math.cos((5 * Math.PI) / 180);
}

function describe(
  frame: LotFrame,
  patch: Patch,
  best: Candidate,
  others: readonly Candidate[],
  isEqual: (candidate: Candidate) => boolean,
): AlignedPart {
  const pose = poseOf(best.alignment.map, frame);
  return {
    map: best.alignment.map,
    correlation: best.alignment.correlation,
    turnDeg: pose.turnDeg,
    mirrored: best.mirrored,
    scale: (pose.scale * patch.reducedBy) / frame.patchReducedBy,
    alternatives: others.map((c) => describe(frame, patch, c, [], isEqual)),
    equal: isEqual(best),
  };
}

/** The same part in another of its equally good poses. */
export function inPose(part: AlignedPart, index: number): AlignedPart {
  const chosen = part.alternatives[index] as AlignedPart;
  const { alternatives, ...rest } = part;
  return {
    ...chosen,
    alternatives: [{ ...rest, alternatives: [] }, ...alternatives.filter((_, i) => i !== index)],
  };
}

/** A part's attenuation in the frame. Pixels outside its patch are NaN. */
export function intoFrame(frame: LotFrame, patch: Patch, map: AffineMap, by = 1): Image {
  const width = Math.floor(frame.width / by);
  const height = Math.floor(frame.height / by);
  const depth = Math.max(
    0,
    Math.min(patch.pyramid.levels.length - 1, Math.floor(Math.log2(frame.reducedBy * by))),
  );
  const moving = patch.pyramid.levels[depth] as Image;
  return warpAffine(moving, mapBetweenReduced(map, by, 2 ** depth), width, height);
}
