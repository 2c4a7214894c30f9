import { median } from "../../numeric/order.ts";
import type { Scale } from "../../radiograph/radiograph.ts";
import { noScale, scaleFromReferenceLength } from "../../radiograph/scale.ts";
import { measured } from "../../units/measured.ts";
import type { PlacedItem } from "./lot-item.ts";
import type { LotOptions } from "./options.ts";
import type { PlacedLot } from "./placing/place-lot.ts";

/** The scale of a part's picture: as loaded, or from the body's given size measured on the parts of that picture. */
export function scaleOf(item: PlacedItem, lot: PlacedLot, { bodyMm }: LotOptions): Scale {
  if (item.picture.scale.umPerPx !== null || !bodyMm) return item.picture.scale;
  const bodies = lot.items.filter((i) => i.picture.picture === item.picture.picture && i.patch.part.fit);
  if (!bodies.length) return noScale;
  const px = median(bodies.map((i) => i.patch.part.body.lengthPx));
  return scaleFromReferenceLength({ value: Math.max(...bodyMm), U: 0 }, measured(px, 0.8, "px"));
}
