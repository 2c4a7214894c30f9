import { median } from "../../../numeric/order.ts";
import { growRectangle } from "../../../numeric/oriented-rectangle.ts";
import type { Scale } from "../../../radiograph/radiograph.ts";
import { measured, notMeasured } from "../../../units/measured.ts";
import { frameMetalFloor, oneTechnique, partCharacteristics } from "../characteristics.ts";
import type { ComparedLot } from "../compare-lot.ts";
import type { Characteristic, LinkedCharacteristic } from "../group-parts.ts";
import { inUnit, seenValues } from "../judge-groups.ts";
import type { PlacedItem } from "../lot-item.ts";
import type { FirstLook, PartMeasures } from "../measure-in-frame.ts";
import type { MeasuredLot } from "../measure-lot.ts";
import { levelInside } from "../measure-part.ts";
import type { PlacedLot } from "../place-lot.ts";
import type { ExemplarVerdict, LotCompared, LotReason } from "../result.ts";
import type { ExemplarOnGroup } from "./lay-exemplar.ts";

/** An exemplar as measured. */
export interface MeasuredExemplar {
  readonly item: PlacedItem;
  readonly look: FirstLook;
  readonly measures: PartMeasures;
}

/** How one group of the lot lies to one exemplar. */
export interface AgainstExemplar {
  readonly verdict: ExemplarVerdict;
  /** Group less exemplar, largest for its limit first. */
  readonly because: readonly LotReason[];
  readonly compared: readonly LotCompared[];
}

/** Below this correlation an exemplar does not lie on the lot's frame: its outline says nothing. */
const leastCorrelation = 0.6;
/** A die whose step is below this share of what the group's would show here is not there. */
const goneShare = 0.35;
/** Steps of a die that stand out from noise. */
const visibleStep = 5;
/** Outlines nearer than this share of their limit are those of one lead frame. */
const countedOtherwise = 0.5;
/** Pictures within this logarithm of their scales show metal alike. */
const alikeScale = 0.2;
/** Bodies of one package agree in shape within this share. */
const otherShape = 0.06;
/** Parts of one size at unknown heights above the table differ by this share (common practice). */
const heightShare = 0.03;

/** What is known of a lot when exemplars are compared with it. */
export interface ComparedTo {
  readonly lot: PlacedLot;
  readonly measuredLot: MeasuredLot;
  readonly compared: ComparedLot;
  /** Scale of the lot's reference part. */
  readonly scale: Scale;
}

/**
 * Compares an exemplar with a group: sizes relative to the whole part, what is there, and outlines.
 *
 * @param members the group's parts
 */
export function compareExemplar(
  { lot, measuredLot, compared, scale }: ComparedTo,
  exemplar: MeasuredExemplar,
  onGroup: ExemplarOnGroup,
  members: readonly number[],
): AgainstExemplar {
  const parts = members.map((i) => measuredLot.parts[i] as PartMeasures);
  const sameTechnique = oneTechnique([...parts, ...parts.map(() => exemplar.measures)]);
  const liesOn = onGroup.item.aligned.correlation >= leastCorrelation;
  const asMeasured = partCharacteristics([exemplar.item], [exemplar.measures]);
  const sizes = (own: readonly Characteristic[]) =>
    compared.characteristics.flatMap((c) =>
      compareSize(c, own, seenValues(c, members), members.length, { scale, sameTechnique, exemplar, liesOn }),
    );
  const ways = [asMeasured, ...(onGroup.quarterTurnUnknown ? [sidesSwapped(asMeasured)] : [])].map(sizes);
  const others = [
    liesOn ? comparePresence(measuredLot, parts, exemplar) : null,
    liesOn ? compareOverall(exemplar.item, scale) : compareShape(lot, exemplar.item),
    compareOutline(lot, compared, onGroup),
  ].filter((o) => o !== null);
  const all = [...ways.reduce((p, q) => (worst(q) < worst(p) ? q : p)), ...others];
  const outlineTimes = all.find((f) => f.compared.characteristic === "outline")?.times ?? 0;
  // Another number of leads shows inside the body too; else they were counted otherwise.
  const miscounted = (f: Found) =>
    f.compared.characteristic === "leads" && liesOn && outlineTimes < countedOtherwise;
  const because = all
    .filter((f) => f.times > 1 && !miscounted(f))
    .sort((p, q) => q.times - p.times)
    .map(({ compared: { characteristic }, by }) => ({ measurement: characteristic, by }));
  const seen = all.filter((f) => f.compared.assessable);
  const known = (name: string) => seen.some((f) => f.compared.characteristic === name);
  // Without its die a part that has one is not known to agree.
  const enough =
    known("outline") && (known("dieLength") || !all.some((f) => f.compared.characteristic === "dieLength"));
  return {
    verdict: because.length ? "differs" : enough && seen.length > 1 ? "agrees" : "not-comparable",
    because,
    compared: all.map((f) => f.compared),
  };
}

interface Found {
  readonly compared: LotCompared;
  readonly by: LotReason["by"];
  /** The difference in units of the least that counts. */
  readonly times: number;
}

const worst = (found: readonly Found[]) => Math.max(0, ...found.map((f) => f.times));

/** Lengths for widths: as a part reads that lies a quarter turn away. */
function sidesSwapped(characteristics: readonly Characteristic[]): Characteristic[] {
  const other: Readonly<Record<string, string>> = {
    padLength: "padWidth",
    padWidth: "padLength",
    dieLength: "dieWidth",
    dieWidth: "dieLength",
  };
  return characteristics.map((c) => ({
    ...(characteristics.find((o) => o.name === other[c.name]) ?? c),
    name: c.name,
  }));
}

function compareSize(
  c: LinkedCharacteristic,
  own: readonly Characteristic[],
  group: readonly number[],
  size: number,
  {
    scale,
    sameTechnique,
    exemplar,
    liesOn,
  }: { scale: Scale; sameTechnique: boolean; exemplar: MeasuredExemplar; liesOn: boolean },
): Found[] {
  // Sizes are relative to the part as it lies on the lot's: without that only what is counted compares.
  if (!liesOn && c.name !== "leads") return [];
  const of = own.find((o) => o.name === c.name);
  const value = of?.values[0] ?? null;
  if (!of || value === null || group.length < 0.5 * size || !group.length) {
    if (!group.length && value === null) return [];
    const where = value === null ? "the exemplar" : "most parts of the group";
    return [notSeen(c.name, inUnit(c.name, 0, 0, scale).unit, `not seen in ${where}`)];
  }
  const typical = median(group);
  // Thin metal reads lighter where pixels are coarser.
  const alike = sameTechnique && Math.abs(Math.log(exemplar.item.aligned.scale)) < alikeScale;
  const floor = c.name === "frameToMould" ? frameMetalFloor(typical, alike) : c.floor;
  // Pixels that were drawn larger hold no more than they did.
  const grown = Math.max(1, 1 / exemplar.item.patch.reducedBy);
  const u = Math.hypot(grown * of.u, c.u, (c.spread ?? 0) * Math.sqrt(1 + 1 / group.length));
  const limit = Math.max(floor, 3 * u);
  const by = typical - value;
  return [
    {
      compared: {
        characteristic: c.name,
        assessable: true,
        because: `the middle of ${group.length} parts against the exemplar, sizes relative to the whole part`,
        smallestDetectable: inUnit(c.name, limit, 0.15 * limit, scale),
      },
      by: inUnit(c.name, by, u, scale),
      times: Math.abs(by) / limit,
    },
  ];
}

function notSeen(characteristic: string, unit: LotReason["by"]["unit"], because: string): Found {
  const none = notMeasured(unit, "not-visible");
  return {
    compared: { characteristic, assessable: false, because, smallestDetectable: none },
    by: none,
    times: 0,
  };
}

/** Whether a die is there in one and not in the other, where it would be seen. */
function comparePresence(
  { consensus }: MeasuredLot,
  group: readonly PartMeasures[],
  { measures, look, item }: MeasuredExemplar,
): Found | null {
  const withDie = group.filter((p) => p.die).length;
  const inGroup = withDie > 0.5 * group.length;
  const inExemplar = measures.die !== null;
  const found = (assessable: boolean, because: string, by: number): Found => ({
    compared: {
      characteristic: "diePresence",
      assessable,
      because,
      smallestDetectable: notMeasured("1", "not-assessed"),
    },
    by: measured(by, 0, "1"),
    times: by === 0 ? 0 : 10,
  });
  if (inGroup && inExemplar) return found(true, "a die is seen in both", 0);
  if (!inGroup && !inExemplar) return null;
  if (!inGroup)
    return found(true, `a die is seen in the exemplar and in ${withDie} of ${group.length} parts`, -1);
  const steps = group.flatMap((p) => p.dieAttenuation ?? []);
  const gain = measures.inside.levels.mould / Math.max(0.01, median(group.map((p) => p.inside.levels.mould)));
  const expected = steps.length ? gain * median(steps) : 0;
  const level = consensus.die
    ? levelInside(look.image, growRectangle(consensus.die, -0.15 * consensus.die.widthPx))
    : null;
  const visible = level !== null && Math.abs(expected) > visibleStep * item.picture.openNoise;
  if (!visible) return found(false, "the die does not stand out in the exemplar", 0);
  const gone = (level - measures.inside.levels.metal) / expected < goneShare;
  return gone ? found(true, "a die is seen in the group and none in the exemplar", 1) : null;
}

/** Lengths as a whole, where both scales are known and neither rests on the body's size. */
function compareOverall(item: PlacedItem, scale: Scale): Found | null {
  const own = item.picture.scale;
  if (own.umPerPx === null || scale.umPerPx === null) return null;
  if (own.origin === "reference-length" || scale.origin === "reference-length") return null;
  const larger = (item.aligned.scale * own.umPerPx) / scale.umPerPx;
  const relativeU = Math.hypot((own.U ?? 0) / own.umPerPx, (scale.U ?? 0) / scale.umPerPx);
  const limit = heightShare + relativeU;
  const percent = 100 * (1 / larger - 1);
  return {
    compared: {
      characteristic: "allLengths",
      assessable: true,
      because:
        "by the scales given for the lot and for the exemplar; parts at other heights differ by some per cent",
      smallestDetectable: measured(100 * limit, 25 * limit, "percent"),
    },
    by: measured(percent, 50 * limit, "percent"),
    times: Math.abs(percent) / (100 * limit),
  };
}

/** Bodies of another shape: what does not lie on the lot's parts may still be told by its body. */
function compareShape({ frame }: PlacedLot, { patch }: PlacedItem): Found | null {
  if (!patch.part.fit) return null;
  const shape = patch.body.lengthPx / patch.body.widthPx;
  const wanted = frame.body.lengthPx / frame.body.widthPx;
  const percent = 100 * (wanted / shape - 1);
  return {
    compared: {
      characteristic: "bodyShape",
      assessable: true,
      because: "length over width of the bodies",
      smallestDetectable: measured(100 * otherShape, 25 * otherShape, "percent"),
    },
    by: measured(percent, 1, "percent"),
    times: Math.abs(percent) / (100 * otherShape),
  };
}

function compareOutline(lot: PlacedLot, compared: ComparedLot, onGroup: ExemplarOnGroup): Found {
  if (onGroup.item.aligned.correlation < leastCorrelation) {
    return notSeen("outline", "percent", "the exemplar cannot be brought onto the lot's parts");
  }
  const limit = compared.outlineLink;
  const share = (100 * onGroup.outline) / lot.contrast;
  return {
    compared: {
      characteristic: "outline",
      assessable: true,
      because: "lead frame, pad and mould inside the body, in one tone and equally sharp",
      smallestDetectable: measured((100 * limit) / lot.contrast, (15 * limit) / lot.contrast, "percent"),
    },
    by: measured(share, 0.1 * share, "percent"),
    times: onGroup.outline / limit,
  };
}
