import { labelComponents } from "../../../numeric/components.ts";
import type { BoxPx, Mask } from "../../../numeric/image.ts";
import { createMask } from "../../../numeric/image.ts";
import { fillHoles } from "../../../numeric/morphology.ts";
import type { OrientedRectangle } from "../../../numeric/oriented-rectangle.ts";
import { growRectangle } from "../../../numeric/oriented-rectangle.ts";
import type { Scale } from "../../../radiograph/radiograph.ts";
import { toMillimetres } from "../../../radiograph/scale.ts";
import { measured, notMeasured } from "../../../units/measured.ts";
import { distanceTo, metalOverMould } from "../../wires/lead-metal.ts";
import type { LeadTip } from "../../wires/wire-parts.ts";
import type { PlaceCall } from "../calling/call-differences.ts";
import { leastWeight } from "../grouping/fold-specks.ts";
import type { PlacedLot } from "../placing/place-lot.ts";
import type { LotCompared } from "../result.ts";
import type { GroupScene } from "./group-scenes.ts";

/** What a group's average shows of its lead frame beside the lead ends. */
export interface FrameFeatures {
  /** Bars that hold the pad. */
  readonly bars: number;
  /** Openings enclosed by metal: 1 inside one. */
  readonly holes: Mask;
  readonly holeCount: number;
}

/** Smaller openings, in frame px, are where noise takes pixels out of metal. */
const leastHolePx = 12;

/** Reads bars and holes of a group's lead frame from its average. */
export function frameFeatures({ leadFrame }: GroupScene): FrameFeatures {
  const { width, height, labels } = leadFrame.metal;
  const metal = createMask(width, height);
  for (let i = 0; i < labels.length; i++) metal.data[i] = labels[i] ? 1 : 0;
  const filled = fillHoles(metal);
  const open = createMask(width, height);
  for (let i = 0; i < labels.length; i++) open.data[i] = filled.data[i] && !metal.data[i] ? 1 : 0;
  const { labels: byHole, components } = labelComponents(open, 4);
  const large = new Set(components.filter((c) => c.areaPx >= leastHolePx).map((c) => c.label));
  const holes = createMask(width, height);
  for (let i = 0; i < labels.length; i++) holes.data[i] = large.has(byHole[i] as number) ? 1 : 0;
  return { bars: leadFrame.bars.length, holes, holeCount: large.size };
}

/** Share of the metal's contrast over mould by which a place must differ to be metal absent or added. */
const leastOfMetal = 0.4;
/** Metal thicker than this many times the frame's own is no piece of the frame. */
const mostOfMetal = 1.6;
/** What is this much longer than wide, in px of its area, and touches the frame, is a piece of it. */
const pieceAspect = 2.5;

/**
 * What a nameless difference of a part is, where it is one of the lead frame; null where it is something else.
 *
 * @param pad the lot's middle pad in the frame
 * @param boxPx of the place, in the frame
 */
export function nameOfFrame(
  group: GroupScene,
  features: FrameFeatures,
  pad: OrientedRectangle | null,
  { sign, by }: Pick<PlaceCall, "sign" | "by">,
  boxPx: BoxPx,
  than: string,
): string | null {
  const over = metalOverMould(group.average, group.scene);
  if (Math.abs(by) < leastOfMetal * over || Math.abs(by) > mostOfMetal * over) return null;
  const { metal, leads } = group.leadFrame;
  const seen = inBox(boxPx, metal.width, metal.height, (i) => ({
    label: metal.labels[i] as number,
    hole: features.holes.data[i] as number,
  }));
  if (sign > 0) {
    if (seen.holes > 0.3 * seen.area) return `a hole of the lead frame that ${than} has is filled or absent`;
    const [, , width, height] = boxPx;
    const long = Math.max(width, height) > pieceAspect * Math.min(width, height);
    return long && touchesMetal(boxPx, group) ? `metal of the lead frame where ${than} has none` : null;
  }
  if (!seen.label || seen.metal < 0.3 * seen.area) return null;
  const centre = [boxPx[0] + (boxPx[2] - 1) / 2, boxPx[1] + (boxPx[3] - 1) / 2] as const;
  if (metal.ofPad.has(seen.label)) {
    if (pad && distanceTo(growRectangle(pad, -2), centre) === 0)
      return `a hole or cut in the die pad that ${than} does not have`;
    return `a tie bar or other arm of the die pad that ${than} has is absent, cut or thinner`;
  }
  const lead = leadOf(leads, metal.labels, metal.width, seen.label);
  const which = lead
    ? `lead ${lead.lead} of ${leads.length}, counted clockwise from the top left as aligned,`
    : "a lead";
  return `${which} is cut or has a hole where ${than} has metal`;
}

/** The commonest piece of metal in a box, with how much of it is metal and hole. */
function inBox(
  [x0, y0, w, h]: BoxPx,
  width: number,
  height: number,
  at: (index: number) => { label: number; hole: number },
): { label: number; metal: number; holes: number; area: number } {
  const count = new Map<number, number>();
  let [metal, holes, area] = [0, 0, 0];
  for (let y = Math.max(0, Math.floor(y0)); y < Math.min(height, y0 + h); y++) {
    for (let x = Math.max(0, Math.floor(x0)); x < Math.min(width, x0 + w); x++) {
      const { label, hole } = at(y * width + x);
      area++;
      holes += hole;
      if (!label) continue;
      metal++;
      count.set(label, (count.get(label) ?? 0) + 1);
    }
  }
  const [most] = [...count].sort((p, q) => q[1] - p[1]);
  return { label: most?.[0] ?? 0, metal, holes, area: Math.max(1, area) };
}

/** Whether metal lies in or right beside a box. */
function touchesMetal([x, y, w, h]: BoxPx, { leadFrame: { metal } }: GroupScene): boolean {
  const around: BoxPx = [x - 4, y - 4, w + 8, h + 8];
  const { label } = inBox(around, metal.width, metal.height, (i) => ({
    label: metal.labels[i] as number,
    hole: 0,
  }));
  return label > 0;
}

function leadOf(
  leads: readonly LeadTip[],
  labels: Int32Array,
  width: number,
  label: number,
): LeadTip | undefined {
  return leads.find(({ metalPx: [x, y] }) => labels[Math.round(y) * width + Math.round(x)] === label);
}

/**
 * What was compared of tie bars and holes: both are part of the outline, so that the least place called there is the
 * smallest hole.
 */
export function frameCompared(
  frames: readonly ({ readonly group: GroupScene; readonly features: FrameFeatures } | null)[],
  lot: PlacedLot,
  scale: Scale,
): LotCompared[] {
  const unit = scale.umPerPx === null ? ("px" as const) : ("mm" as const);
  const seen = frames.filter((frame) => frame !== null && frame.group.leadFrame.metal.ofPad.size > 0);
  const shown = seen.flatMap((frame) => (frame ? [frame] : []));
  if (!shown.length)
    return ["tieBars", "frameHoles"].map((characteristic) => ({
      characteristic,
      assessable: false,
      because: "no pad of metal is seen, whose bars and holes could be compared",
      smallestDetectable: notMeasured(unit, "not-visible"),
    }));
  const [{ group }] = shown as [(typeof shown)[number]];
  const share = Math.min(1, metalOverMould(group.average, group.scene) / lot.contrast);
  // A round hole loses the misregistration that is absorbed all around.
  const compareSidePx = 2 * lot.slackPx + Math.sqrt((4 * leastWeight) / (Math.PI * share));
  const smallest = compareSidePx * lot.by * lot.frame.reducedBy * lot.frame.patchReducedBy;
  const counts = (of: (frame: (typeof shown)[number]) => number) => [...new Set(shown.map(of))].join(", ");
  const size = toMillimetres(measured(smallest, 0.3 * smallest, "px"), scale);
  return [
    {
      characteristic: "tieBars",
      assessable: true,
      because: `${counts((f) => f.features.bars)} in the group's average, each part against it as part of the outline. Smallest: side of a piece missing`,
      smallestDetectable: size,
    },
    {
      characteristic: "frameHoles",
      assessable: true,
      because: `${counts((f) => f.features.holeCount)} in the group's average, each part against it as part of the outline. Smallest: diameter of a hole added or filled`,
      smallestDetectable: size,
    },
  ];
}
