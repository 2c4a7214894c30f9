import type { Scale } from "../../../radiograph/radiograph.ts";
import { measured } from "../../../units/measured.ts";
import type { ComparedWires } from "../../wires/compare-wires.ts";
import type { GroupScene } from "../details/group-scenes.ts";
import type { ComparedLot } from "../grouping/compare-lot.ts";
import type { Characteristic } from "../grouping/group-parts.ts";
import { seenValues } from "../grouping/judge-groups.ts";
import type { PlacedItem } from "../lot-item.ts";
import type { LotWires } from "../lot-wires.ts";
import { oneTechnique, partCharacteristics } from "../measuring/characteristics.ts";
import type { PartMeasures } from "../measuring/measure-in-frame.ts";
import type { MeasuredLot } from "../measuring/measure-lot.ts";
import type { PlacedLot } from "../placing/place-lot.ts";
import type { ExemplarVerdict, LotCompared, LotReason } from "../result.ts";
import { compareBonding } from "./compare-bonding.ts";
import { compareDies } from "./compare-dies.ts";
import { compareSize, maySwapSides, sidesSwapped } from "./compare-sizes.ts";
import type { Found } from "./found.ts";
import { notSeen } from "./found.ts";
import type { ExemplarOnGroup } from "./lay-exemplar.ts";
import type { MeasuredExemplar } from "./measured-exemplar.ts";

/** How one group of the lot lies to one exemplar. */
export interface AgainstExemplar {
  readonly verdict: ExemplarVerdict;
  /** Group less exemplar, largest for its limit first. */
  readonly because: readonly LotReason[];
  readonly compared: readonly LotCompared[];
  /** The largest difference in units of the least that counts. */
  readonly times: number;
}

/** Below this correlation an exemplar does not lie on the lot's frame: its outline says nothing. */
const leastCorrelation = 0.6;
/** Outlines nearer than this share of their limit are those of one lead frame. */
const countedOtherwise = 0.5;
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
  readonly scenes: readonly (GroupScene | null)[];
  readonly wires: LotWires;
}

/**
 * Compares an exemplar with a group: sizes relative to the whole part, what is there, and outlines.
 *
 * @param members the group's parts
 * @param wires the wires that they have in common; null when not known
 * @param scene how they look; null when not known
 */
export function compareExemplar(
  { lot, measuredLot, compared, scale }: ComparedTo,
  exemplar: MeasuredExemplar,
  onGroup: ExemplarOnGroup,
  members: readonly number[],
  { wires, scene }: { readonly wires: ComparedWires | null; readonly scene: GroupScene | null },
): AgainstExemplar {
  const parts = members.map((i) => measuredLot.parts[i] as PartMeasures);
  const sameTechnique = oneTechnique([...parts, ...parts.map(() => exemplar.measures)]);
  const liesOn = onGroup.item.aligned.correlation >= leastCorrelation;
  const asMeasured = partCharacteristics([exemplar.item], [exemplar.measures]);
  const sizes = (own: readonly Characteristic[]) =>
    compared.characteristics.flatMap((c) =>
      compareSize(c, own, seenValues(c, members), members.length, { scale, sameTechnique, exemplar, liesOn }),
    );
  const worst = (of: readonly Found[]) => Math.max(0, ...of.map((f) => f.times));
  const ways = [asMeasured, ...(maySwapSides(onGroup) ? [sidesSwapped(asMeasured)] : [])].map(sizes);
  const others = [
    liesOn ? compareDies(parts, scene, exemplar) : null,
    liesOn ? compareOverall(exemplar.item, scale) : compareShape(lot, exemplar.item),
    liesOn ? compareBonding(lot.frame, wires, exemplar, onGroup) : null,
    compareOutline(lot, compared, onGroup),
  ].filter((o) => o !== null);
  const all = [...ways.reduce((p, q) => (worst(q) < worst(p) ? q : p)), ...others];
  const outlineTimes = all.find((f) => f.compared.characteristic === "outline")?.times ?? 0;
  // Another number of leads shows inside the body too; else they were counted otherwise.
  const miscounted = (f: Found) =>
    f.compared.characteristic === "leads" && liesOn && outlineTimes < countedOtherwise;
  const counted = all.filter((f) => !miscounted(f));
  const because = counted
    .filter((f) => f.times > 1)
    .sort((p, q) => q.times - p.times)
    .map(({ compared: { characteristic }, by }) => ({ measurement: characteristic, by }));
  const seen = all.filter((f) => f.compared.assessable);
  const known = (name: string) => seen.some((f) => f.compared.characteristic === name);
  // Without its die a part that has one is not known to agree.
  const dieKnown = known("dieLength") || !all.some((f) => f.compared.characteristic === "dieLength");
  const enough = known("outline") && dieKnown;
  return {
    verdict: because.length ? "differs" : enough && seen.length > 1 ? "agrees" : "not-comparable",
    because,
    compared: all.map((f) => f.compared),
    times: worst(counted),
  };
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
