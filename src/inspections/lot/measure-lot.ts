import { median } from "../../numeric/order.ts";
import type { OrientedRectangle } from "../../numeric/oriented-rectangle.ts";
import { growRectangle } from "../../numeric/oriented-rectangle.ts";
import { intoFrame } from "./align-lot.ts";
import type { InsideBody } from "./inside-body.ts";
import { lookInsideBody } from "./inside-body.ts";
import type { PlacedItem } from "./lot-item.ts";
import type { LeadCount, MeasuredRectangle } from "./measure-part.ts";
import { countLeads, intoPatch, levelInside, measureDie, measurePad } from "./measure-part.ts";
import type { PlacedLot } from "./place-lot.ts";

/** What was measured on one part, lengths in patch px. */
export interface PartMeasures {
  readonly inside: InsideBody;
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
}

export interface MeasuredLot {
  readonly parts: readonly PartMeasures[];
  readonly consensus: LotConsensus;
}

/**
 * Measures every part. Each is looked at on its own first; then the die is also sought where the lot has it,
 * and the place on which more of its outline agrees is taken.
 */
export function measureLot(lot: PlacedLot, onPart: (done: number) => void): MeasuredLot {
  const images = lot.items.map((item) => intoFrame(lot.frame, item.patch, item.aligned.map));
  const insides = lot.items
    .map((item, i) =>
      lookInsideBody(images[i] as (typeof images)[number], lot.frame.body, item.picture.openNoise),
    )
    .map((inside) =>
      mayBePackage(lot.frame) ? inside : { ...inside, pad: null, die: null, dieLevel: null },
    );
  const consensus: LotConsensus = {
    pad: middleRectangle(insides.map((l) => l.pad)),
    die: middleRectangle(insides.map((l) => l.die)),
  };
  const parts = lot.items.map((item, i) => {
    const image = images[i] as (typeof images)[number];
    const inside = insides[i] as InsideBody;
    const pad = bestFit(
      [inside.pad, consensus.pad].map((start) =>
        start ? measurePad(item.patch, intoPatch(item.aligned.map, start), inside.levels) : null,
      ),
    );
    const die = bestFit(
      [inside.die, consensus.die].map((start) => {
        if (!start) return null;
        const level = levelInside(image, growRectangle(start, -0.2 * start.widthPx));
        if (level === null) return null;
        return measureDie(item.patch, intoPatch(item.aligned.map, start), level, item.picture.openNoise);
      }),
    );
    const isDie = die && standsOut(die, pad) && liesWithin(die.rectangle, item.patch.body);
    const reach = reachInFrame(item, lot);
    const leads = countLeads(image, lot.frame.body, reach, 0.1 * inside.levels.metal);
    onPart(i + 1);
    return {
      inside,
      pad,
      die: isDie ? die : null,
      leads: leads === "cut" ? null : leads,
      leadsCut: leads === "cut",
      frameAttenuation: inside.levels.metal - inside.levels.mould,
      dieAttenuation: dieOverPad(image, inside),
    };
  });
  return { parts: withoutFaintDies(parts), consensus };
}

/** In a small crop of a board joints, holes and copper would be taken for pads and dies. */
const leastPackagePx = 100;

function mayBePackage({ wholeField, body, reducedBy, patchReducedBy }: PlacedLot["frame"]): boolean {
  return !wholeField || body.widthPx * reducedBy * patchReducedBy >= leastPackagePx;
}

/** An outline on which few profiles agree, or that is the pad's own, is no die's. */
function standsOut(die: MeasuredRectangle, pad: MeasuredRectangle | null): boolean {
  if (die.agreement < leastAgreement) return false;
  if (!pad) return true;
  const { lengthPx, widthPx } = pad.rectangle;
  return die.rectangle.lengthPx <= 0.97 * lengthPx || die.rectangle.widthPx <= 0.97 * widthPx;
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

/** Outlines on which the attenuation step is far below the lot's own are attach or stain without a die on it. */
function withoutFaintDies(parts: readonly PartMeasures[]): PartMeasures[] {
  const steps = parts.flatMap((p) => (p.die && p.dieAttenuation !== null ? [p.dieAttenuation] : []));
  if (steps.length < 4) return [...parts];
  const typical = median(steps);
  return parts.map((p) =>
    p.die && p.dieAttenuation !== null && p.dieAttenuation < 0.45 * typical ? { ...p, die: null } : p,
  );
}

/** How far a part reaches in frame px, along and across. */
function reachInFrame(item: PlacedItem, lot: PlacedLot): [number, number] {
  const perFrame = item.patch.reducedBy * Math.hypot(item.aligned.map.a, item.aligned.map.d);
  const { part } = item.patch;
  const quarter =
    Math.abs(Math.sin(Math.atan2(item.aligned.map.d, item.aligned.map.a) - part.body.angleRad)) > 0.7;
  const [along, across] = part.reachPx;
  const reach: [number, number] = quarter
    ? [across / perFrame, along / perFrame]
    : [along / perFrame, across / perFrame];
  return [Math.min(reach[0], lot.frame.width / 2 - 1), Math.min(reach[1], lot.frame.height / 2 - 1)];
}

function bestFit(fits: readonly (MeasuredRectangle | null)[]): MeasuredRectangle | null {
  return fits.reduce(
    (best, fit) => (fit && (!best || fit.agreement > best.agreement + 0.02) ? fit : best),
    null,
  );
}

/** The middle rectangle, when at least half of the parts show one. */
function middleRectangle(rects: readonly (OrientedRectangle | null)[]): OrientedRectangle | null {
  const seen = rects.filter((r): r is OrientedRectangle => r !== null);
  if (!seen.length || seen.length < 0.5 * rects.length) return null;
  return {
    centrePx: [median(seen.map((r) => r.centrePx[0])), median(seen.map((r) => r.centrePx[1]))],
    angleRad: 0,
    lengthPx: median(seen.map((r) => r.lengthPx)),
    widthPx: median(seen.map((r) => r.widthPx)),
  };
}

function dieOverPad(image: Parameters<typeof levelInside>[0], inside: InsideBody): number | null {
  if (!inside.die) return null;
  const die = levelInside(image, growRectangle(inside.die, -0.15 * inside.die.widthPx));
  return die === null ? null : die - inside.levels.metal;
}
