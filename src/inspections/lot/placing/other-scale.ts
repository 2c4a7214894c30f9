import { applyMap } from "../../../align/similarity.ts";
import { median } from "../../../numeric/order.ts";
import { rectangleCorners } from "../../../numeric/oriented-rectangle.ts";
import { boxAround } from "../calling/picture-box.ts";
import type { PlacedItem } from "../lot-item.ts";
import type { LotCall } from "../result.ts";
import type { Perspective } from "./perspective.ts";
import { placeOf } from "./perspective.ts";
import type { PlacedLot } from "./place-lot.ts";

/** A part at another scale than the others of its picture. */
export interface OtherScale {
  readonly call: LotCall;
  /** Beyond what height alone makes of one package: a reason to suspect it. */
  readonly suspect: boolean;
}

/** Scales that differ by less are alike. */
const leastOff = 0.015;
/**
 * Parts of one package seldom lie so much nearer to the focal spot that they look larger by more (a 1 mm higher part
 * at 20 mm from it: 5 %).
 */
const mostByHeight = 0.05;
/** In a picture with fewer parts nothing says what is usual. */
const fewestMates = 4;

/**
 * Parts that lie at another scale than the others of their picture: nearer to the source, or of another size. Where a
 * picture is in perspective, another than belongs to their place.
 */
export function otherScale(
  lot: PlacedLot,
  inPerspective: ReadonlyMap<string, Perspective>,
): (OtherScale | null)[] {
  return lot.items.map((item) => {
    const mates = lot.items.filter((i) => i.picture.picture === item.picture.picture);
    if (mates.length < fewestMates) return null;
    const perspective = inPerspective.get(item.picture.picture);
    const expected = (i: PlacedItem) => perspective?.sizeAt(placeOf(i)) ?? 1;
    const sizeOf = (i: PlacedItem) => i.aligned.scale / expected(i);
    const scale = sizeOf(item) / median(mates.map(sizeOf));
    const off = Math.abs(scale - 1);
    if (off < leastOff || !outlineAgrees(item, mates, scale, expected)) return null;
    const corners = rectangleCorners(item.patch.body).map((p) => applyMap(item.patch.toPicture, p));
    const percent = (100 * off).toFixed(1);
    const says = `${percent} % ${scale > 1 ? "larger" : "smaller"} than the other parts of this picture in all lengths: it lies at another height, or is of another size`;
    return { call: { kind: "other", boxPx: boxAround(corners), says }, suspect: off > mostByHeight };
  });
}

/** Share of the difference that the body's own outline must show: an even chip is laid a little too large or small. */
const leastInOutline = 0.5;

/** Whether a part's outline, where it shows, is larger or smaller than its mates' too. */
function outlineAgrees(
  item: PlacedItem,
  mates: readonly PlacedItem[],
  scale: number,
  expected: (item: PlacedItem) => number,
): boolean {
  const size = (of: PlacedItem) => {
    const { fit, body } = of.patch.part;
    return fit ? Math.sqrt(body.lengthPx * body.widthPx) / expected(of) : null;
  };
  const own = size(item);
  const seen = mates.flatMap((mate) => size(mate) ?? []);
  if (own === null || seen.length < fewestMates) return true;
  return (own / median(seen) - 1) / (scale - 1) >= leastInOutline;
}
