import { applyMap } from "../../align/similarity.ts";
import { median } from "../../numeric/order.ts";
import { rectangleCorners } from "../../numeric/oriented-rectangle.ts";
import { boxAround } from "./picture-box.ts";
import type { PlacedLot } from "./place-lot.ts";
import type { LotPart } from "./result.ts";

/** Parts that lie at another scale than the others of their picture: nearer to the source, or of another size. */
export function otherScale(lot: PlacedLot): (LotPart["calls"] | undefined)[] {
  return lot.items.map((item) => {
    const mates = lot.items.filter((i) => i.picture.picture === item.picture.picture);
    if (mates.length < 4) return undefined;
    const scale = item.aligned.scale / median(mates.map((i) => i.aligned.scale));
    if (Math.abs(scale - 1) < 0.015) return undefined;
    const corners = rectangleCorners(item.patch.body).map((p) => applyMap(item.patch.toPicture, p));
    const percent = (100 * Math.abs(scale - 1)).toFixed(1);
    return [
      {
        kind: "other" as const,
        boxPx: boxAround(corners),
        says: `${percent} % ${scale > 1 ? "larger" : "smaller"} than the other parts of this picture in all lengths: it lies at another height, or is of another size`,
      },
    ];
  });
}
