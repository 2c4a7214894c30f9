import { applyMap, invertMap } from "../../../align/similarity.ts";
import type { Image } from "../../../numeric/image.ts";
import { median } from "../../../numeric/order.ts";
import type { OrientedRectangle } from "../../../numeric/oriented-rectangle.ts";
import { medianRectangle } from "../../../numeric/oriented-rectangle.ts";
import type { BallGrid } from "../../wires/ball-grid.ts";
import { findBallGrid } from "../../wires/ball-grid.ts";
import type { LeadFrame } from "../../wires/lead-frame.ts";
import { readLeadFrame } from "../../wires/lead-frame.ts";
import type { WireScene } from "../../wires/wire-parts.ts";
import { groupAverage } from "../grouping/group-average.ts";
import { groupMembers } from "../grouping/group-parts.ts";
import type { PlacedItem } from "../lot-item.ts";
import { bodyLevels } from "../measuring/inside-body.ts";
import type { MeasuredLot } from "../measuring/measure-lot.ts";
import type { PlacedLot } from "../placing/place-lot.ts";

/** One group of a lot as its average shows it, in the frame. */
export interface GroupScene {
  /** Index into the lot of each of its parts. */
  readonly members: readonly number[];
  readonly average: Image;
  readonly scene: WireScene;
  /** Each part's die in the frame; null where none was measured. */
  readonly dies: readonly (OrientedRectangle | null)[];
  /** Metal, lead ends and tie bars of the average. */
  readonly leadFrame: LeadFrame;
  /** Balls where there is no lead frame but a grid of them; null elsewhere. */
  readonly balls: BallGrid | null;
  /** Attenuation noise of one pixel in open field, middle over its parts. */
  readonly openNoise: number;
}

/**
 * The groups' averages with their lead ends, by group; null where no die or pad says which metal is the pad, and for
 * crops of a board.
 */
export function groupScenes(
  lot: PlacedLot,
  measured: MeasuredLot,
  groupOf: readonly number[],
): (GroupScene | null)[] {
  return groupMembers(groupOf).map((members) =>
    lot.frame.wholeField ? null : groupScene(lot, measured, members),
  );
}

function groupScene(lot: PlacedLot, measured: MeasuredLot, members: readonly number[]): GroupScene | null {
  const dies = members.map((i) =>
    dieInFrame(lot.items[i] as PlacedItem, measured.parts[i]?.die?.rectangle ?? null),
  );
  const seen = dies.filter((die) => die !== null);
  const die = seen.length ? medianRectangle(seen) : (measured.consensus.die ?? measured.consensus.pad);
  if (!die) return null;
  const average = groupAverage(measured.images, members);
  const scene = {
    body: lot.frame.body,
    die,
    metalLevel: bodyLevels(average, lot.frame.body).between,
  };
  const balls = findBallGrid(average, lot.frame.body);
  const leadFrame = readLeadFrame(average, scene);
  return {
    members,
    average,
    scene,
    dies,
    leadFrame: balls ? { ...leadFrame, leads: [] } : leadFrame,
    balls,
    openNoise: median(members.map((i) => (lot.items[i] as PlacedItem).picture.openNoise)),
  };
}

/** A part's die in the frame, its length along the frame's longer side. */
export function dieInFrame(
  { aligned }: Pick<PlacedItem, "aligned">,
  die: OrientedRectangle | null,
): OrientedRectangle | null {
  if (!die) return null;
  const toFrame = invertMap(aligned.map);
  const c = Math.cos(die.angleRad);
  const s = Math.sin(die.angleRad);
  const scale = Math.sqrt(Math.abs(toFrame.a * toFrame.e - toFrame.b * toFrame.d));
  let angle = Math.atan2(toFrame.d * c + toFrame.e * s, toFrame.a * c + toFrame.b * s);
  let [length, width] = [scale * die.lengthPx, scale * die.widthPx];
  if (Math.abs(Math.sin(angle)) > Math.SQRT1_2) {
    [length, width] = [width, length];
    angle += Math.PI / 2;
  }
  return {
    centrePx: applyMap(toFrame, die.centrePx),
    angleRad: Math.atan(Math.tan(angle)),
    lengthPx: length,
    widthPx: width,
  };
}
