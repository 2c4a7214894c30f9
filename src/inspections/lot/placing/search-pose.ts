import type { Alignment, AlignmentTemplate } from "../../../align/gauss-newton.ts";
import { alignGaussNewton, alignmentTemplate } from "../../../align/gauss-newton.ts";
import { mapBetweenReduced, mapFromReduced } from "../../../align/pyramid.ts";
import type { AffineMap } from "../../../align/similarity.ts";
import type { Image } from "../../../numeric/image.ts";
import { reduceBy } from "../../../numeric/resample.ts";
import type { Patch } from "../finding/patch.ts";
import type { AlignedPart, LotFrame } from "./align-lot.ts";
import { ownPixels, poseFromBodies } from "./align-lot.ts";

/** Poses whose misfit is within this factor of the best are not told apart by one pair of pictures. */
const ambiguityFactor = 1.35;

/** A reference picture in the frame with its templates at each size. */
export interface FrameReference {
  readonly frame: LotFrame;
  readonly levels: readonly ReferenceLevel[];
}

interface ReferenceLevel {
  readonly by: number;
  readonly template: AlignmentTemplate;
  /** A few of the template's pixels: near enough to slide from. Null where the template is small. */
  readonly quick: AlignmentTemplate | null;
}

/** Pixels of a quick template, and how small a template needs none. */
const quickPixels = 4000;
const smallPixels = 8000;

/** Prepares a reference picture (frame-sized) for aligning. Parts beside the reference have no say. */
export function frameReference(frame: LotFrame, picture: Image): FrameReference {
  const image = ownPixels(frame, picture);
  const longest = Math.max(frame.width, frame.height);
  const levels: ReferenceLevel[] = [];
  for (let by = 1; longest / by >= 56 || by === 1; by *= 2) {
    const reduced = by > 1 ? reduceBy(image, by) : image;
    const share = by === 1 ? 0.15 : 0.3;
    const template = alignmentTemplate(reduced, share);
    const quick = template.x.length > smallPixels ? alignmentTemplate(reduced, share, quickPixels) : null;
    levels.push({ by, template, quick });
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
    ? follow(reference, patch, candidates.slice(0, 8))
    : restingPoses(reference, patch, turns);
  finest.sort(byCorrelation);
  const least = misfit(finest[0] as Candidate);
  const equal = finest.filter((c) => misfit(c) < ambiguityFactor * least);
  // Poses that fit equally well: a part lies as its neighbours do until it shows otherwise.
  const best = equal.reduce((b, c) =>
    strangeness(c.alignment, frame) < strangeness(b.alignment, frame) - 0.1 ? c : b,
  );
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
  const finest = reference.levels[0] as ReferenceLevel;
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
  const level = reference.levels[reference.levels.length - 1] as ReferenceLevel;
  const found: Candidate[] = [];
  for (const { mirrored, start } of startPoses(frame, patch, turnsDeg)) {
    const alignment = slide(level, patch, start, frame);
    if (plausible(alignment.map, start, frame)) found.push({ mirrored, alignment });
  }
  return found.sort(byCorrelation);
}

/**
 * Body size relative to the reference in the px of their patches, trusted only where both bodies were fitted and nearly
 * agree. Else the scale of the patches counts: one may be reduced more than the reference's (where the next part seemed
 * to reach in), or was brought to the lot's size already; which, its body says.
 */
function relativeBodySize(frame: LotFrame, patch: Patch): number {
  const ratio = Math.sqrt(
    (patch.body.lengthPx * patch.body.widthPx) /
      (frame.body.lengthPx * frame.body.widthPx * frame.reducedBy ** 2),
  );
  const reduced = frame.patchReducedBy / patch.reducedBy;
  const nearest = Math.abs(Math.log(ratio)) <= Math.abs(Math.log(ratio / reduced)) ? 1 : reduced;
  return patch.part.fit && ratio > 0.85 * nearest && ratio < 1.18 * nearest ? ratio : nearest;
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
  level: ReferenceLevel,
  patch: Patch,
  map: AffineMap,
  frame: LotFrame,
  iterations = 20,
  // Smaller sizes only lead to the next one: a tenth of the full size's care is enough.
  leastStepPx = level.by === 1 ? 0.002 : 0.02,
): Alignment {
  const patchPxPerPx = Math.hypot(map.a, map.d) * level.by;
  const depth = Math.max(0, Math.min(patch.pyramid.levels.length - 1, Math.round(Math.log2(patchPxPerPx))));
  const by = 2 ** depth;
  const moving = patch.pyramid.levels[depth] as Image;
  const result = alignGaussNewton(level.template, moving, mapBetweenReduced(map, level.by, by), {
    leastStepPx,
    iterations,
    fixedScale: frame.wholeField,
    fixedTurn: frame.wholeField,
  });
  return { ...result, map: mapFromReduced(result.map, level.by, by) };
}

/** Slides by a few pixels to within a tenth of a pixel or so, then by all. */
function slideNear(level: ReferenceLevel, patch: Patch, map: AffineMap, frame: LotFrame): Alignment {
  if (!level.quick) return slide(level, patch, map, frame);
  const near = slide({ ...level, template: level.quick }, patch, map, frame, 20, nearStepPx);
  return slide(level, patch, near.correlation < 0 ? map : near.map, frame);
}

/** A step of a quick template below this is near enough, px. */
const nearStepPx = 0.02;

/** At a smaller size a pose this many times worse than the best is no twin of it, unless it fits well by itself. */
const hopelessFactor = 3;
const goodMisfit = 0.35;

/** Follows poses from the smallest size, where they lie, to full size, leaving the hopeless ones behind. */
function follow(reference: FrameReference, patch: Patch, candidates: readonly Candidate[]): Candidate[] {
  const { frame, levels } = reference;
  let followed = [...candidates];
  for (const level of levels.slice(0, -1).reverse()) {
    followed = followed.map((c) => ({ ...c, alignment: slideNear(level, patch, c.alignment.map, frame) }));
    if (frame.wholeField || level.by === 1) continue;
    const most = Math.max(goodMisfit, hopelessFactor * Math.min(...followed.map(misfit)));
    followed = followed.filter((c) => misfit(c) <= most);
  }
  return followed;
}

function poseOf(map: AffineMap, frame: LotFrame) {
  return {
    turnDeg: (Math.atan2(map.d, map.a) * 180) / Math.PI,
    mirrored: isMirrored(map),
    scale: Math.hypot(map.a, map.d) / frame.reducedBy,
  };
}

const isMirrored = (map: AffineMap) => map.a * map.e - map.b * map.d < 0;

/** Unlike the reference part's own pose in its picture: mirrored counts most, then the turn. */
export function strangeness({ map }: Pick<AlignedPart, "map">, frame: LotFrame): number {
  const turn = Math.atan2(map.d, map.a);
  return (isMirrored(map) ? 3 : 0) + 1 - Math.cos(turn - frame.referenceTurnRad);
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
