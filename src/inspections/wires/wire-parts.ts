import type { Image, PointPx } from "../../numeric/image.ts";
import type { OrientedRectangle } from "../../numeric/oriented-rectangle.ts";

/** One part of a lot in the lot's frame. */
export interface WirePart {
  /** Attenuation, larger is denser; NaN where the part's picture ends. */
  readonly image: Image;
  /** Its die in the frame; null where none was measured. */
  readonly die: OrientedRectangle | null;
}

/** What the parts have in common, in the frame. */
export interface WireScene {
  readonly body: OrientedRectangle;
  /** The middle die of the lot. */
  readonly die: OrientedRectangle;
  /** Attenuation between mould and metal. */
  readonly metalLevel: number;
}

/** An inner lead end that a wire may start from. */
export interface LeadTip {
  /** Counted clockwise around the body from its top left corner, from 1. Not a pin number. */
  readonly lead: number;
  readonly tipPx: PointPx;
}
