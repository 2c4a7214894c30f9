import { mapBetweenReduced } from "../../../align/pyramid.ts";
import type { AffineMap } from "../../../align/similarity.ts";
import { applyMap, composeMaps } from "../../../align/similarity.ts";
import type { Image, Mask } from "../../../numeric/image.ts";
import { createMask } from "../../../numeric/image.ts";
import { warpAffine } from "../../../numeric/warp.ts";
import type { PlacedItem } from "../lot-item.ts";
import type { MeasuredLot } from "../measuring/measure-lot.ts";
import type { MeasuredRectangle } from "../measuring/measure-part.ts";
import { toned } from "../placing/match-tone.ts";
import type { PlacedLot } from "../placing/place-lot.ts";
import { middleOf } from "../placing/place-lot.ts";
import { comparablePart } from "./pair-difference.ts";
import type { Comparison } from "./part-difference.ts";

/** The dies of a lot, each brought onto its own outline: a die placed or turned otherwise still compares. */
export interface DieComparison extends Comparison {
  /** Index into the lot of each die. */
  readonly of: readonly number[];
  /** Die-tile pixel -> picture pixel. */
  readonly toPicture: readonly AffineMap[];
  /** Die-tile pixel -> patch pixel. */
  readonly toPatch: readonly AffineMap[];
  /** The die's inside, its rim left out. */
  readonly where: Mask;
}

/** Rim of the die that is not compared, compare px: blur, and what the edge fit leaves. */
const rimPx = 3;

/** Prepares the dies of the parts that show one; null where fewer than two do. */
export function dieComparison(lot: PlacedLot, measured: MeasuredLot): DieComparison | null {
  const die = measured.consensus.die;
  if (!die) return null;
  const width = Math.round(die.lengthPx / lot.by);
  const height = Math.round(die.widthPx / lot.by);
  if (Math.min(width, height) < 4 * rimPx) return null;
  const of = lot.items.flatMap((_, i) => (measured.parts[i]?.die ? [i] : []));
  if (of.length < 2) return null;
  const toPatch = of.map((i) =>
    tileMap(lot.items[i] as PlacedItem, measured.parts[i]?.die as MeasuredRectangle, lot.by, width, height),
  );
  const tiles = of.map((i, k) => {
    const { patch, aligned } = lot.items[i] as PlacedItem;
    const scale = lot.by * Math.hypot(aligned.map.a, aligned.map.d);
    const depth = Math.max(0, Math.min(patch.pyramid.levels.length - 1, Math.floor(Math.log2(scale))));
    const map = mapBetweenReduced(toPatch[k] as AffineMap, 1, 2 ** depth);
    const tile = warpAffine(patch.pyramid.levels[depth] as Image, map, width, height);
    return toned(tile, lot.tones[i] as PlacedLot["tones"][number]);
  });
  const middle = middleOf(tiles);
  const where = createMask(width, height);
  for (let y = rimPx; y < height - rimPx; y++) where.data.fill(1, y * width + rimPx, (y + 1) * width - rimPx);
  return {
    of,
    toPatch,
    toPicture: of.map((i, k) =>
      composeMaps((lot.items[i] as PlacedItem).patch.toPicture, toPatch[k] as AffineMap),
    ),
    where,
    comparable: tiles.map((t) => comparablePart(t, middle, lot.slackPx)),
    tolerance: lot.tolerance,
    contrast: lot.contrast,
    slackPx: lot.slackPx,
  };
}

/** Die-tile pixel -> patch pixel: the die's centre and turn, in the orientation of the part's pose. */
function tileMap(
  item: PlacedItem,
  die: MeasuredRectangle,
  by: number,
  width: number,
  height: number,
): AffineMap {
  const { map, mirrored } = item.aligned;
  const pose = Math.atan2(map.d, map.a);
  const quarter = Math.PI / 2;
  const turn = die.rectangle.angleRad - pose;
  const angle = pose + turn - quarter * Math.round(turn / quarter);
  const scale = by * Math.hypot(map.a, map.d);
  const a = scale * Math.cos(angle);
  const d = scale * Math.sin(angle);
  const flip = mirrored ? -1 : 1;
  const linear: AffineMap = { a, b: -d * flip, c: 0, d, e: a * flip, f: 0 };
  const [cx, cy] = applyMap(linear, [(width - 1) / 2, (height - 1) / 2]);
  return { ...linear, c: die.rectangle.centrePx[0] - cx, f: die.rectangle.centrePx[1] - cy };
}
