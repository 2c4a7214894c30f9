import type { AffineMap } from "../../src/align/similarity.ts";
import { applyMap } from "../../src/align/similarity.ts";
import { gatherParts } from "../../src/inspections/lot/finding/gather-parts.ts";
import type { ComparedLot } from "../../src/inspections/lot/grouping/compare-lot.ts";
import { compareLot } from "../../src/inspections/lot/grouping/compare-lot.ts";
import type { LotItem } from "../../src/inspections/lot/lot-item.ts";
import type { MeasuredLot } from "../../src/inspections/lot/measuring/measure-lot.ts";
import { measureLot } from "../../src/inspections/lot/measuring/measure-lot.ts";
import { workHere } from "../../src/inspections/lot/part-tasks.ts";
import type { LotFrame } from "../../src/inspections/lot/placing/align-lot.ts";
import type { PlacedLot } from "../../src/inspections/lot/placing/place-lot.ts";
import { placeLot } from "../../src/inspections/lot/placing/place-lot.ts";
import { drawnPart } from "./drawn-part.ts";
import type { Slab } from "./drawn-radiograph.ts";
import { drawnRadiograph, placed } from "./drawn-radiograph.ts";

/** One part of a drawn lot and how it lies in its picture of 240 x 200 px. */
export interface DrawnPose {
  readonly part?: readonly Slab[];
  readonly turnDeg?: number;
  readonly mirrored?: boolean;
  readonly scale?: number;
  readonly centrePx?: readonly [number, number];
  /** Attenuation of the whole picture is multiplied by it: another exposure. */
  readonly gain?: number;
}

/** One picture a part, found and cut out as the inspection does; ids are "part 0" and so on. */
export async function drawnLot(poses: readonly DrawnPose[]): Promise<readonly LotItem[]> {
  const sources = poses.map((pose, i) => {
    const {
      part = drawnPart(),
      turnDeg = 0,
      mirrored = false,
      scale = 1,
      centrePx = [120.3, 99.6],
      gain = 1,
    } = pose;
    const matter = placed(part, centrePx, turnDeg, mirrored, scale).map((s) => ({
      ...s,
      attenuation: gain * s.attenuation,
    }));
    const picture = `part ${i}`;
    return { picture, load: async () => drawnRadiograph(240, 200, matter, {}, { picture }) };
  });
  return (await gatherParts(sources, () => {})).items;
}

/** A drawn lot in one frame, measured and sorted into constructions. */
export async function comparedDrawnLot(
  poses: readonly DrawnPose[],
): Promise<{ readonly lot: PlacedLot; readonly measured: MeasuredLot; readonly compared: ComparedLot }> {
  const lot = await placeLot(await drawnLot(poses), null, workHere, () => {});
  const measured = await measureLot(lot, workHere, () => {});
  return { lot, measured, compared: compareLot(lot, measured) };
}

/** Where frame places around the body's middle come to lie in the picture, against where the drawing has them. */
export function placedOffPx(map: AffineMap, frame: LotFrame, { patch }: LotItem, pose: DrawnPose): number {
  const { turnDeg = 0, mirrored = false, scale = 1, centrePx = [120.3, 99.6] } = pose;
  const turn = (turnDeg * Math.PI) / 180;
  const [cx, cy] = [(frame.width - 1) / 2, (frame.height - 1) / 2];
  return Math.max(
    ...(
      [
        [-50, -30],
        [50, -30],
        [50, 30],
        [-50, 30],
      ] as const
    ).map(([u, v]) => {
      const [x, y] = applyMap(patch.toPicture, applyMap(map, [cx + u, cy + v]));
      const own = mirrored ? -u : u;
      const right = centrePx[0] + scale * (Math.cos(turn) * own - Math.sin(turn) * v);
      const down = centrePx[1] + scale * (Math.sin(turn) * own + Math.cos(turn) * v);
      return Math.hypot(x - right, y - down);
    }),
  );
}
