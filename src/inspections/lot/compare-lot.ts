import type { Mask } from "../../numeric/image.ts";
import { median, quantile } from "../../numeric/order.ts";
import { growRectangle } from "../../numeric/oriented-rectangle.ts";
import { foldSpecks } from "./fold-specks.ts";
import type { Characteristic, DistanceMatrix, LinkedCharacteristic } from "./group-parts.ts";
import { combineDistances, groupParts, linkCharacteristic, outlineLink } from "./group-parts.ts";
import type { MeasuredLot } from "./measure-lot.ts";
import { outlineDistances, overEqualPoses } from "./outline-distances.ts";
import { compareMask } from "./pair-difference.ts";
import type { PlacedLot } from "./place-lot.ts";
import { inCompare, smallBody } from "./place-lot.ts";

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

/** The least outline difference that may separate parts, as a share of the contrast. */
function leastOutline({ frame, by }: PlacedLot): number {
  const { lengthPx, widthPx } = smallBody(frame, by);
  const shifted = ((leastOutlinePx / by) * 2 * (lengthPx + widthPx)) / (lengthPx * widthPx);
  return Math.max(leastOutlineShare, shifted);
}

/** Compares every part with every other and sorts them into groups. */
export function compareLot(lot: PlacedLot, measured: MeasuredLot): ComparedLot {
  const where = outlineMask(lot, measured);
  const asTheyLie = outlineDistances(lot, where);
  const wholeField = lot.items.some((item) => item.patch.part.wholeField);
  const most = wholeField ? Number.POSITIVE_INFINITY : mostOutline * lot.contrast;
  const link = outlineLink(asTheyLie, leastOutline(lot) * lot.contrast, most);
  const outline = wholeField ? asTheyLie : overEqualPoses(lot, asTheyLie, where, link);
  const characteristics = partCharacteristics(lot, measured).map(linkCharacteristic);
  const distances = combineDistances(outline, link, characteristics);
  const groupOf = foldSpecks(lot, where, characteristics, groupParts(distances));
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
 * and pad are compared by their measured size).
 */
export function outlineMask(lot: PlacedLot, measured: MeasuredLot): Mask {
  const { die, pad } = measured.consensus;
  const leaveOut = [
    die && growRectangle(die, filletShare * Math.min(die.lengthPx, die.widthPx)),
    die && pad && growRectangle(pad, 2 * lot.by),
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

/** Sizes are divided by the part's own scale, so that a part lying higher is not another construction. */
function partCharacteristics(lot: PlacedLot, measured: MeasuredLot): Characteristic[] {
  const sized = (
    name: string,
    size: (i: number) => { px: number; u: number } | null,
    share: number,
    leastPx: number,
  ): Characteristic => {
    const found = lot.items.map((item, i) => {
      const s = size(i);
      if (!s) return null;
      const perReference = item.aligned.scale;
      return {
        px: (s.px * item.patch.reducedBy) / perReference,
        u: (s.u * item.patch.reducedBy) / perReference,
      };
    });
    const seen = found.filter((f) => f !== null);
    const typical = seen.length ? seen.reduce((sum, f) => sum + f.px, 0) / seen.length : 0;
    const u = seen.length ? seen.reduce((sum, f) => sum + f.u, 0) / seen.length : 0;
    return { name, values: found.map((f) => f?.px ?? null), u, floor: Math.max(share * typical, leastPx) };
  };
  const part = (i: number) => measured.parts[i] as MeasuredLot["parts"][number];
  const body = (i: number) => {
    const { part: found, reducedBy } = (lot.items[i] as PlacedLot["items"][number]).patch;
    return found.fit ? { found, fit: found.fit, reducedBy } : null;
  };
  const characteristics: Characteristic[] = [
    sized("padLength", (i) => rect(part(i).pad, "length"), 0.015, 2),
    sized("padWidth", (i) => rect(part(i).pad, "width"), 0.015, 2),
    sized("dieLength", (i) => rect(part(i).die, "length"), 0.03, 2.5),
    sized("dieWidth", (i) => rect(part(i).die, "width"), 0.03, 2.5),
    {
      name: "leads",
      values: leadCounts(measured.parts),
      u: 0,
      floor: 0.9,
    },
    {
      // The frame's metal over the mould: hardly moves with exposure, by up to a fifth across kV, more between alloys.
      name: "frameToMould",
      values: lot.items.map((_, i) => frameToMould(part(i))),
      u: 0,
      floor:
        (oneTechnique(measured.parts) ? alloyShare : acrossTechniques) *
        typicalOf(lot.items.map((_, i) => frameToMould(part(i)))),
    },
  ];
  if (!lot.items.some((item) => item.patch.part.wholeField)) {
    characteristics.push(
      sized("bodyLength", (i) => bodySide(body(i), "length"), 0.02, 3),
      sized("bodyWidth", (i) => bodySide(body(i), "width"), 0.02, 3),
    );
  }
  return characteristics;
}

function frameToMould({ inside: { levels }, pad }: MeasuredLot["parts"][number]): number | null {
  return pad && levels.mould > 0.02 ? (levels.metal - levels.mould) / levels.mould : null;
}

/** Fewer things standing out of a body are no leads: what a chip's ends show is counted now one way, now the other. */
const fewestLeads = 3;

function leadCounts(parts: MeasuredLot["parts"]): (number | null)[] {
  const counts = parts.map((p) => p.leads?.count ?? null);
  return typicalOf(counts) < fewestLeads ? counts.map(() => null) : counts;
}

/** Frame over mould moves by up to a fifth across kV; at one technique by up to 2 % (simulated lots). */
const acrossTechniques = 0.25;
const alloyShare = 0.08;
/** Mould of one thickness attenuates alike at one kV, whatever the exposure; 70 and 95 kV are a third and more apart. */
const mouldAtOneTechnique = 1.05;

/** Whether the mould of nearly all parts attenuates alike, as it does only at one tube voltage and filter. */
export function oneTechnique(parts: MeasuredLot["parts"]): boolean {
  const mould = parts.map((p) => p.inside.levels.mould);
  return quantile(mould, 0.9) < mouldAtOneTechnique * quantile(mould, 0.1);
}

function typicalOf(values: readonly (number | null)[]): number {
  const seen = values.filter((v) => v !== null);
  return seen.length ? median(seen) : 0;
}

function rect(measure: MeasuredLot["parts"][number]["die"], side: "length" | "width") {
  if (!measure || measure.agreement < 0.4) return null;
  return side === "length"
    ? { px: measure.rectangle.lengthPx, u: measure.uLengthPx }
    : { px: measure.rectangle.widthPx, u: measure.uWidthPx };
}

function bodySide(
  body: { found: { body: { lengthPx: number; widthPx: number } }; reducedBy: number } | null,
  side: "length" | "width",
) {
  if (!body) return null;
  const { body: outline } = body.found;
  return { px: (side === "length" ? outline.lengthPx : outline.widthPx) / body.reducedBy, u: 0.5 };
}
