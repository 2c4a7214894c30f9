import type { AffineMap } from "../../align/similarity.ts";
import { applyMap, composeMaps } from "../../align/similarity.ts";
import type { BoxPx } from "../../numeric/image.ts";
import type { OrientedRectangle } from "../../numeric/oriented-rectangle.ts";
import { toPictureMap } from "./describe-part.ts";
import type { PlacedItem } from "./lot-item.ts";
import type { PlacedLot } from "./place-lot.ts";

/** A box of the compare picture as an upright box in the part's own picture. */
export function intoPicture(lot: PlacedLot, index: number, boxPx: BoxPx): BoxPx {
  const item = lot.items[index] as PlacedItem;
  const enlarge: AffineMap = { a: lot.by, b: 0, c: (lot.by - 1) / 2, d: 0, e: lot.by, f: (lot.by - 1) / 2 };
  return boxThrough(composeMaps(toPictureMap(item), enlarge), boxPx, item);
}

/** The upright box around a mapped box, within the picture. */
export function boxThrough(map: AffineMap, [x, y, w, h]: BoxPx, { picture }: PlacedItem): BoxPx {
  const corners = [
    [x - 0.5, y - 0.5],
    [x + w - 0.5, y - 0.5],
    [x + w - 0.5, y + h - 0.5],
    [x - 0.5, y + h - 0.5],
  ].map(([u, v]) => applyMap(map, [u as number, v as number]));
  const xs = corners.map((c) => c[0]);
  const ys = corners.map((c) => c[1]);
  const left = Math.min(Math.max(0, Math.min(...xs)), picture.widthPx);
  const top = Math.min(Math.max(0, Math.min(...ys)), picture.heightPx);
  const right = Math.min(picture.widthPx, Math.max(left, ...xs));
  const bottom = Math.min(picture.heightPx, Math.max(top, ...ys));
  return [left, top, right - left, bottom - top];
}

/** The box of a rectangle that lies straight. */
export function upright(rect: OrientedRectangle): BoxPx {
  return [
    rect.centrePx[0] - rect.lengthPx / 2 + 0.5,
    rect.centrePx[1] - rect.widthPx / 2 + 0.5,
    rect.lengthPx,
    rect.widthPx,
  ];
}
