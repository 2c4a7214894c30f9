import type { PlacedItem } from "../lot-item.ts";
import type { FirstLook, PartMeasures } from "../measuring/measure-in-frame.ts";

/** An exemplar as measured. */
export interface MeasuredExemplar {
  readonly item: PlacedItem;
  readonly look: FirstLook;
  readonly measures: PartMeasures;
}
