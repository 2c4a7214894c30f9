import type { AffineMap } from "../../../align/similarity.ts";
import type { BoxPx, PointPx } from "../../../numeric/image.ts";

/** For each corner of a body in one frame, clockwise from the top left, the corner it is in another. */
export type CornerOrder = readonly [number, number, number, number];

export const sameOrder: CornerOrder = [0, 1, 2, 3];

type Corners = readonly [PointPx, PointPx, PointPx, PointPx];

/** How the corners of one part, as it lies in one frame, are numbered in another: points of one picture. */
export function cornerOrder(here: Corners, there: Corners): CornerOrder {
  return here.map(([x, y]) => {
    const apart = there.map(([u, v]) => Math.hypot(u - x, v - y));
    return apart.indexOf(Math.min(...apart));
  }) as unknown as CornerOrder;
}

/** The order through a frame in between: `first` from here to there, `then` on from there. */
export function throughOrder(first: CornerOrder, then: CornerOrder): CornerOrder {
  return first.map((corner) => then[corner]) as unknown as CornerOrder;
}

/**
 * The map of pixels that takes a body box to another with its corners in this order.
 *
 * @param order for each corner of `from`, the corner of `to` that it goes to
 */
export function boxToBox(from: BoxPx, to: BoxPx, order: CornerOrder): AffineMap {
  const [x, y, width, height] = from;
  const there = cornersOf(to);
  const [topLeft, topRight, , bottomLeft] = order.map((corner) => there[corner] as PointPx) as [
    PointPx,
    PointPx,
    PointPx,
    PointPx,
  ];
  const a = (topRight[0] - topLeft[0]) / width;
  const d = (topRight[1] - topLeft[1]) / width;
  const b = (bottomLeft[0] - topLeft[0]) / height;
  const e = (bottomLeft[1] - topLeft[1]) / height;
  return { a, b, c: topLeft[0] - a * x - b * y, d, e, f: topLeft[1] - d * x - e * y };
}

function cornersOf([x, y, width, height]: BoxPx): readonly PointPx[] {
  return [
    [x, y],
    [x + width, y],
    [x + width, y + height],
    [x, y + height],
  ];
}
