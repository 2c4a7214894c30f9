import { applyMap } from "../../../align/similarity.ts";
import type { Image, PointPx } from "../../../numeric/image.ts";
import { median } from "../../../numeric/order.ts";
import type { Scale } from "../../../radiograph/radiograph.ts";
import { toMillimetres } from "../../../radiograph/scale.ts";
import { measured as measuredValue, notMeasured } from "../../../units/measured.ts";
import type { FusedOtherwise } from "../../wires/fused-otherwise.ts";
import { fusedOtherwise } from "../../wires/fused-otherwise.ts";
import { metalOverMould, wireRadiusPx } from "../../wires/lead-metal.ts";
import { boxBeside } from "../calling/picture-box.ts";
import type { PlacedItem } from "../lot-item.ts";
import { toPictureMap } from "../measuring/describe-part.ts";
import { bodyLevels } from "../measuring/inside-body.ts";
import type { MeasuredLot } from "../measuring/measure-lot.ts";
import type { PlacedLot } from "../placing/place-lot.ts";
import type { LotCall, LotCompared, LotLeadEnd } from "../result.ts";
import type { GroupScene } from "./group-scenes.ts";
import type { LotDetail } from "./lot-detail.ts";

/** The lead ends of the parts, and which are joined to the pad otherwise than they should. */
export interface LotLeadEnds extends LotDetail {
  readonly ends: readonly (readonly LotLeadEnd[])[];
}

/** Metal stands above mould by this many times the noise of one pixel, else leads are not told from each other. */
const leastContrastToNoise = 5;

/**
 * Inner lead ends by part. Which leads are one piece with the pad is read from the group's average; parts on which
 * something of the frame differs are looked at themselves, and odd groups are held against the largest one.
 *
 * @param differing parts on which something was called already
 * @param odd groups held to be the odd ones
 */
export function leadEnds(
  lot: PlacedLot,
  measured: MeasuredLot,
  scenes: readonly (GroupScene | null)[],
  differing: ReadonlySet<number>,
  odd: ReadonlySet<number>,
  scale: Scale,
): LotLeadEnds {
  const ends: LotLeadEnd[][] = lot.items.map(() => []);
  const calls: LotCall[][] = lot.items.map(() => []);
  const largest = scenes[0] ?? null;
  scenes.forEach((group, g) => {
    if (!group || !metalShows(group)) return;
    const againstLargest =
      g > 0 && odd.has(g) && largest && metalShows(largest)
        ? fusedOtherwise(group.average, group.scene, largest.leadFrame.leads)
        : [];
    for (const i of group.members) {
      const item = lot.items[i] as PlacedItem;
      const own = differing.has(i) ? ofPart(measured.images[i] as Image, group) : [];
      ends[i] = group.leadFrame.leads.map(({ lead, tipPx, fusedToPad }) => ({
        lead,
        tipPx: applyMap(toPictureMap(item), tipPx),
        fusedToPad: own.find((o) => o.lead.lead === lead)?.fusedToPad ?? fusedToPad,
      }));
      calls[i] = [
        ...own.map((other) => leadCall(other, group, item, "its group")),
        ...againstLargest.map((other) => leadCall(other, largest as GroupScene, item, "the largest group")),
      ];
    }
  });
  return { ends, calls, compared: [describe(scenes, scale)] };
}

function ofPart(image: Image, group: GroupScene): FusedOtherwise[] {
  const metalLevel = bodyLevels(image, group.scene.body).between;
  return fusedOtherwise(image, { ...group.scene, metalLevel }, group.leadFrame.leads);
}

function metalShows({ average, scene, openNoise }: GroupScene): boolean {
  return metalOverMould(average, scene) > leastContrastToNoise * openNoise;
}

function leadCall(
  { lead, fusedToPad }: FusedOtherwise,
  { scene, leadFrame: { leads } }: GroupScene,
  item: PlacedItem,
  than: string,
): LotCall {
  const [x, y] = lead.tipPx;
  const towards = (share: number): PointPx => [
    x + share * (scene.die.centrePx[0] - x),
    y + share * (scene.die.centrePx[1] - y),
  ];
  const where = `lead ${lead.lead} of ${leads.length}, counted clockwise from the top left as aligned,`;
  return {
    kind: "lead-frame",
    boxPx: boxBeside([towards(-0.1), towards(0.3)], item, 8),
    says: fusedToPad
      ? `${where} is one piece of metal with the die pad; in ${than} it ends before it`
      : `${where} ends before the die pad; in ${than} it is one piece of metal with it`,
  };
}

function describe(scenes: readonly (GroupScene | null)[], scale: Scale): LotCompared {
  const seen = scenes.filter((group) => group !== null);
  const shown = seen.filter((group) => metalShows(group) && group.leadFrame.leads.length > 0);
  const unit = scale.umPerPx === null ? ("px" as const) : ("mm" as const);
  if (!shown.length) {
    const because = seen.some(({ balls }) => balls)
      ? "a grid of balls and no lead frame: wires end on the laminate (wiresSeen)"
      : seen.length
        ? "no lead end stands out of the mould: metal and mould attenuate alike here"
        : "neither die nor pad was found, or these are crops of a board: which metal is the pad is not known";
    return {
      characteristic: "leadEnds",
      assessable: false,
      because,
      smallestDetectable: notMeasured(unit, "not-visible"),
    };
  }
  const contrast = median(
    shown.map((group) => metalOverMould(group.average, group.scene) / Math.max(1e-6, group.openNoise)),
  );
  const counted = shown.map(({ leadFrame: { leads } }) => {
    const fused = leads.filter((lead) => lead.fusedToPad).length;
    const hidden = leads.filter((lead) => lead.fusedToPad === null).length;
    return [
      `${leads.length} inner lead ends`,
      ...(fused ? [`${fused} of them one piece with the die pad`] : []),
      ...(hidden ? [`${hidden} under denser matter, not told`] : []),
    ].join(", ");
  });
  const narrowest = 2 * wireRadiusPx + 1;
  return {
    characteristic: "leadEnds",
    assessable: true,
    because: `${[...new Set(counted)].join("; ")}; metal over mould ${contrast.toFixed(0)} times the noise of one pixel. Smallest: width of a bridge between lead and pad`,
    smallestDetectable: toMillimetres(measuredValue(narrowest, 1, "px"), scale),
  };
}
