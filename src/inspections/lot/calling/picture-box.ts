import type { AffineMap } from "../../../align/similarity.ts";
import { applyMap, composeMaps } from "../../../align/similarity.ts";
import type { BoxPx, PointPx } from "../../../numeric/image.ts";
import type { OrientedRectangle } from "../../../numeric/oriented-rectangle.ts";
import type { PlacedItem } from "../lot-item.ts";
import { toPictureMap } from "../measuring/describe-part.ts";
import type { PlacedLot } from "../placing/place-lot.ts";

/** A box of the compare picture as an upright box in the part's own picture. */
export function intoPicture(lot: PlacedLot, index: number, boxPx: BoxPx): BoxPx {
  const item = lot.items[index] as PlacedItem;
  const enlarge: AffineMap = { a: lot.by, b: 0, c: (lot.by - 1) / 2, d: 0, e: lot.by, f: (lot.by - 1) / 2 };
  return boxThrough(composeMaps(toPictureMap(item), enlarge), boxPx, item);
}

/** The upright box around a mapped box, within the picture. */
export function boxThrough(map: AffineMap, [x, y, w, h]: BoxPx, item: PlacedItem): BoxPx {
  const corners: PointPx[] = [
    [x - 0.5, y - 0.5],
    [x + w - 0.5, y - 0.5],
    [x + w - 0.5, y + h - 0.5],
    [x - 0.5, y + h - 0.5],
  ];
  return boxInPicture(
    corners.map((p) => applyMap(map, p)),
    item,
  );
}

/** The upright box around points of a part's picture, within it. */
export function boxInPicture(points: readonly PointPx[], { picture }: PlacedItem): BoxPx {
  const [x, y, width, height] = boxAround(points);
  const left = Math.min(Math.max(0, x), picture.widthPx);
  const top = Math.min(Math.max(0, y), picture.heightPx);
  const right = Math.min(picture.widthPx, Math.max(left, x + width));
  const bottom = Math.min(picture.heightPx, Math.max(top, y + height));
  return [left, top, right - left, bottom - top];
}

/** The upright box around points of the frame with some room, in the part's picture. */
export function boxBeside(points: readonly PointPx[], item: PlacedItem, marginPx: number): BoxPx {
  const map = toPictureMap(item);
  const corners = points.flatMap(([x, y]) =>
    [-marginPx, marginPx].flatMap((u) => [-marginPx, marginPx].map((v) => applyMap(map, [x + u, y + v]))),
  );
  return boxInPicture(corners, item);
}

/** The upright box around points. */
export function boxAround(points: readonly PointPx[]): BoxPx {
  const xs = points.map((p) => p[0]);
  const ys = points.map((p) => p[1]);
  const [left, top] = [Math.min(...xs), Math.min(...ys)];
  return [left, top, Math.max(...xs) - left, Math.max(...ys) - top];
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
