import { median, quantile } from "../../../numeric/order.ts";
import { mayLieAcross } from "../details/die-place.ts";
import type { Characteristic } from "../grouping/group-parts.ts";
import type { PlacedItem } from "../lot-item.ts";
import type { PartMeasures } from "./measure-lot.ts";

/**
 * What is measured on parts and compared between them. Sizes are divided by the part's own scale, so that a part lying higher is not another construction.
 */
export function partCharacteristics(
  items: readonly PlacedItem[],
  parts: readonly PartMeasures[],
): Characteristic[] {
  const scales = partScales(items);
  const sized = (
    name: string,
    size: (i: number) => { px: number; u: number } | null,
    share: number,
    leastPx: number,
  ): Characteristic => {
    const found = items.map((item, i) => {
      const s = size(i);
      if (!s) return null;
      const perReference = scales[i] as number;
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
  const part = (i: number) => parts[i] as PartMeasures;
  const across = liesAcross(items, parts);
  const side = (i: number, name: Side): Side => (across[i] ? (name === "length" ? "width" : "length") : name);
  const body = (i: number) => {
    const { part: found, reducedBy } = (items[i] as PlacedItem).patch;
    return found.fit ? { found, fit: found.fit, reducedBy } : null;
  };
  const characteristics: Characteristic[] = [
    sized("padLength", (i) => rect(part(i).pad, side(i, "length")), 0.015, 2),
    sized("padWidth", (i) => rect(part(i).pad, side(i, "width")), 0.015, 2),
    sized("dieLength", (i) => rect(part(i).die, side(i, "length")), 0.03, 2.5),
    sized("dieWidth", (i) => rect(part(i).die, side(i, "width")), 0.03, 2.5),
    {
      name: "leads",
      values: leadCounts(parts),
      u: 0,
      floor: 0.9,
      seenInOutline: true,
    },
    {
      // The frame's metal over the mould: hardly moves with exposure, by up to a fifth across kV, more between alloys.
      name: "frameToMould",
      ...frameMetals(parts),
      u: 0,
    },
  ];
  if (!items.some((item) => item.patch.part.wholeField)) {
    characteristics.push(
      sized("bodyLength", (i) => bodySide(body(i), side(i, "length")), 0.02, 3),
      sized("bodyWidth", (i) => bodySide(body(i), side(i, "width")), 0.02, 3),
    );
  }
  return characteristics;
}

/** Metal that is denser than what it lies in by less is no frame that was told from mould (a chip's layers). */
const leastMetal = 0.1;

function frameToMould({ inside: { levels }, pad }: PartMeasures): number | null {
  if (!pad || levels.mould <= 0.02) return null;
  const over = (levels.metal - levels.mould) / levels.mould;
  return over < leastMetal ? null : over;
}

/**
 * Frame over mould of each part with the least difference that is another metal. Where nearly all parts were taken at
 * one technique that is small, and a part whose mould says that it was taken at another one counts only where it
 * differs by more than techniques do.
 */
export function frameMetals(parts: readonly PartMeasures[]): Pick<Characteristic, "values" | "floor"> {
  const dies = parts.filter((p) => p.die).length;
  // Where most dies are known, the metal of a part whose die is not is its pad's and its die's.
  const values = parts.map((p) => (!p.die && dies > 0.5 * parts.length ? null : frameToMould(p)));
  const typical = typicalOf(values);
  const floor = frameMetalFloor(typical, oneTechnique(parts));
  if (!oneTechnique(parts)) return { values, floor };
  const mould = median(parts.map((p) => p.inside.levels.mould));
  const atAnother = (p: PartMeasures) =>
    Math.max(p.inside.levels.mould / mould, mould / p.inside.levels.mould) > mouldAtOneTechnique;
  return {
    values: values.map((value, i) =>
      value !== null &&
      atAnother(parts[i] as PartMeasures) &&
      Math.abs(value - typical) < frameMetalFloor(typical, false)
        ? null
        : value,
    ),
    floor,
  };
}

/** Scales off the usual one by less are as good. */
const leastOff = 0.008;

/**
 * The scale of each part by which its sizes are divided: as it was laid, or the lot's middle one where its outline is
 * nearer to the others' with that. An even chip laid on another is held about as well a little too large or small.
 */
function partScales(items: readonly PlacedItem[]): number[] {
  const usual = median(items.map(({ aligned }) => aligned.scale));
  const outlines = items.map(({ patch: { part } }) =>
    part.fit ? Math.sqrt(part.body.lengthPx * part.body.widthPx) : null,
  );
  const laid = outlines.flatMap((px, i) =>
    px === null ? [] : [px / (items[i] as PlacedItem).aligned.scale],
  );
  const middle = laid.length ? median(laid) : 0;
  return items.map(({ aligned: { scale } }, i) => {
    const px = outlines[i] ?? null;
    if (px === null || Math.abs(scale / usual - 1) < leastOff) return scale;
    return Math.abs(px / usual - middle) < Math.abs(px / scale - middle) ? usual : scale;
  });
}

type Side = "length" | "width";

/**
 * Parts that were laid a quarter turn otherwise than most, as far as their frames show: their lengths are the others'
 * widths. Told by their die; where all may lie so, longer than wide counts.
 */
function liesAcross(items: readonly PlacedItem[], parts: readonly PartMeasures[]): boolean[] {
  const longer = parts.map(({ die }) => (die ? die.rectangle.lengthPx >= die.rectangle.widthPx : null));
  const sure = longer.filter((_, i) => !mayLieAcross(items[i] as PlacedItem));
  const of = sure.some((l) => l !== null) ? sure : [true];
  const usual = of.filter((l) => l === true).length >= of.filter((l) => l === false).length;
  return items.map((item, i) => longer[i] !== null && longer[i] !== usual && mayLieAcross(item));
}

/** Fewer things standing out of a body are no leads: what a chip's ends show is counted now one way, now the other. */
const fewestLeads = 3;

function leadCounts(parts: readonly PartMeasures[]): (number | null)[] {
  const counts = parts.map((p) => p.leads?.count ?? null);
  return typicalOf(counts) < fewestLeads ? counts.map(() => null) : counts;
}

/** Frame over mould moves by up to a fifth across kV; at one technique by up to 2 % (simulated lots). */
const acrossTechniques = 0.25;
const alloyShare = 0.08;
/** Mould of one thickness attenuates alike at one kV, whatever the exposure; 70 and 95 kV are a third and more apart. */
const mouldAtOneTechnique = 1.05;

/** The least difference of frame over mould that is another metal or thickness. */
export function frameMetalFloor(typical: number, sameTechnique: boolean): number {
  return (sameTechnique ? alloyShare : acrossTechniques) * typical;
}

/** Whether the mould of nearly all parts attenuates alike, as it does only at one tube voltage and filter. */
export function oneTechnique(parts: readonly PartMeasures[]): boolean {
  const mould = parts.map((p) => p.inside.levels.mould);
  return quantile(mould, 0.9) < mouldAtOneTechnique * quantile(mould, 0.1);
}

function typicalOf(values: readonly (number | null)[]): number {
  const seen = values.filter((v) => v !== null);
  return seen.length ? median(seen) : 0;
}

function rect(measure: PartMeasures["die"], side: Side) {
  if (!measure || measure.agreement < 0.4) return null;
  return side === "length"
    ? { px: measure.rectangle.lengthPx, u: measure.uLengthPx }
    : { px: measure.rectangle.widthPx, u: measure.uWidthPx };
}

function bodySide(
  body: { found: { body: { lengthPx: number; widthPx: number } }; reducedBy: number } | null,
  side: Side,
) {
  if (!body) return null;
  const { body: outline } = body.found;
  return { px: (side === "length" ? outline.lengthPx : outline.widthPx) / body.reducedBy, u: 0.5 };
}
