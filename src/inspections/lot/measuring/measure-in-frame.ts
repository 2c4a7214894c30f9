import type { AffineMap } from "../../../align/similarity.ts";
import type { Image } from "../../../numeric/image.ts";
import type { OrientedRectangle } from "../../../numeric/oriented-rectangle.ts";
import { growRectangle } from "../../../numeric/oriented-rectangle.ts";
import type { Patch } from "../finding/patch.ts";
import type { LotFrame } from "../placing/align-lot.ts";
import { intoFrame } from "../placing/align-lot.ts";
import type { DieClip } from "./die-clip.ts";
import { besideClip, findClip, withoutClip } from "./die-clip.ts";
import { edgeBlurPx } from "./die-walls.ts";
import type { InsideBody } from "./inside-body.ts";
import { fineSearch, lookInsideBody } from "./inside-body.ts";
import type { DieSearch, LeadCount, MeasuredRectangle } from "./measure-part.ts";
import { countLeads, intoPatch, levelInside, measureDie, measurePad } from "./measure-part.ts";
import { sharesSide } from "./measured-rectangle.ts";

/** A part as it lies in the frame. */
export interface PartInFrame {
  readonly patch: Patch;
  /** Frame pixel -> patch pixel. */
  readonly map: AffineMap;
  /** Standard deviation of attenuation noise in open field. */
  readonly openNoise: number;
}

/** What is seen in one part before its lot is known. */
export interface FirstLook {
  /** Attenuation in the frame; NaN outside the patch. */
  readonly image: Image;
  /** With the clip taken off, where there is one. */
  readonly inside: InsideBody;
  /** The same with the clip on. */
  readonly asSeen: InsideBody;
  /** A clip over the die, in the frame. */
  readonly clip: DieClip | null;
}

/** What was measured on one part, lengths in patch px. */
export interface PartMeasures {
  readonly inside: InsideBody;
  readonly clip: DieClip | null;
  readonly pad: MeasuredRectangle | null;
  readonly die: MeasuredRectangle | null;
  readonly leads: LeadCount | null;
  /** Leads reach beyond the picture. */
  readonly leadsCut: boolean;
  /** Metal over mould, attenuation. */
  readonly frameAttenuation: number;
  /** Die over the pad beside it, attenuation; null without both. */
  readonly dieAttenuation: number | null;
}

/** The lot's middle die pad and die in the frame, where most parts show one. */
export interface LotConsensus {
  readonly pad: OrientedRectangle | null;
  readonly die: OrientedRectangle | null;
  readonly clip: OrientedRectangle | null;
}

/** Brings one part into the frame and looks inside its body, on its own. */
export function lookInFrame(frame: LotFrame, { patch, map, openNoise }: PartInFrame): FirstLook {
  const image = intoFrame(frame, patch, map);
  const first = lookInsideBody(image, frame.body, openNoise);
  if (!mayBePackage(frame)) {
    const inside = { ...first, pad: null, die: null, dieLevel: null };
    return { image, inside, asSeen: inside, clip: null };
  }
  const clip = findClip(image, frame.body, first, openNoise);
  return {
    image,
    inside: clip ? lookInsideBody(withoutClip(image, clip), frame.body, openNoise, fineSearch) : first,
    asSeen: first,
    clip,
  };
}

/**
 * Measures one part: pad and die are sought where the part shows them and where the lot has them, and the place on
 * which more of the outline agrees is taken.
 */
export function measureInFrame(
  { frame, consensus }: { readonly frame: LotFrame; readonly consensus: LotConsensus },
  {
    patch: covered,
    map,
    openNoise,
    image: coveredImage,
    inside,
    clip,
  }: PartInFrame & Omit<FirstLook, "asSeen">,
): PartMeasures {
  const patch = { ...covered, image: withoutClip(covered.image, clip, map) };
  const image = withoutClip(coveredImage, clip);
  const pad = bestFit(
    [inside.pad, consensus.pad].map((start) =>
      start ? measurePad(patch, intoPatch(map, start), inside.levels) : null,
    ),
  );
  const blurPx = edgeBlurPx(patch.image, pad);
  const dieWith = (search: DieSearch) =>
    bestFit(
      [inside.die, consensus.die].map((start) => {
        if (!start) return null;
        const level = levelInside(image, growRectangle(start, -0.2 * start.widthPx));
        if (level === null) return null;
        return measureDie(patch, intoPatch(map, start), level, openNoise, blurPx, search);
      }),
    );
  const die = dieWith({}) ?? dieWith({ fading: true });
  const least = clip ? leastUnderClip : leastAgreement;
  const isDie = die && die.agreement >= least && standsOut(die, pad) && liesWithin(die.rectangle, patch.body);
  const leads = countLeads(image, frame.body, reachInFrame(frame, patch, map), 0.1 * inside.levels.metal);
  return {
    inside,
    clip,
    pad,
    die: isDie ? besideClip(die, clip, map) : null,
    leads: leads === "cut" ? null : leads,
    leadsCut: leads === "cut",
    frameAttenuation: inside.levels.metal - inside.levels.mould,
    dieAttenuation: dieOverPad(image, inside),
  };
}

/** In a small crop of a board joints, holes and copper would be taken for pads and dies. */
const leastPackagePx = 100;

function mayBePackage({ wholeField, body, reducedBy, patchReducedBy }: LotFrame): boolean {
  return !wholeField || body.widthPx * reducedBy * patchReducedBy >= leastPackagePx;
}

/** The pad's own outline is no die's. */
function standsOut(die: MeasuredRectangle, pad: MeasuredRectangle | null): boolean {
  if (!pad) return true;
  const { lengthPx, widthPx } = pad.rectangle;
  const smaller = die.rectangle.lengthPx <= 0.97 * lengthPx || die.rectangle.widthPx <= 0.97 * widthPx;
  return smaller && !sharesSide(die.rectangle, pad.rectangle);
}

/** Mould walls leave a die this share of its body at most; what reaches further is the body's own (a chip's dielectric). */
const mostOfBody = 0.92;

function liesWithin(die: OrientedRectangle, body: OrientedRectangle): boolean {
  const across = Math.abs(Math.sin(die.angleRad - body.angleRad)) > 0.7;
  const [along, aside] = across ? [die.widthPx, die.lengthPx] : [die.lengthPx, die.widthPx];
  return along <= mostOfBody * body.lengthPx && aside <= mostOfBody * body.widthPx;
}

/** Share of edge profiles that must agree before a die's outline is reported. */
const leastAgreement = 0.4;
/** The same where a clip was taken off: the outer edge of a fillet wanders, and that of the die may be cut by the clip. */
const leastUnderClip = 0.75;

/** How far a part reaches in frame px, along and across. */
function reachInFrame(frame: LotFrame, { part, reducedBy }: Patch, map: AffineMap): [number, number] {
  const perFrame = reducedBy * Math.hypot(map.a, map.d);
  const quarter = Math.abs(Math.sin(Math.atan2(map.d, map.a) - part.body.angleRad)) > 0.7;
  const [along, across] = part.reachPx;
  const reach: [number, number] = quarter
    ? [across / perFrame, along / perFrame]
    : [along / perFrame, across / perFrame];
  return [Math.min(reach[0], frame.width / 2 - 1), Math.min(reach[1], frame.height / 2 - 1)];
}

function bestFit(fits: readonly (MeasuredRectangle | null)[]): MeasuredRectangle | null {
  return fits.reduce(
    (best, fit) => (fit && (!best || fit.agreement > best.agreement + 0.02) ? fit : best),
    null,
  );
}

function dieOverPad(image: Image, inside: InsideBody): number | null {
  if (!inside.die) return null;
  const die = levelInside(image, growRectangle(inside.die, -0.15 * inside.die.widthPx));
  return die === null ? null : die - inside.levels.metal;
}
