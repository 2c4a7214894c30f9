import type { Image, PointPx } from "../../numeric/image.ts";
import type { OrientedRectangle } from "../../numeric/oriented-rectangle.ts";
import type { BallGrid } from "./ball-grid.ts";

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
  /** How far wires lie apart on the die, px, where that limits how far each may be looked for. */
  readonly closePx?: number;
  /** Balls that lie over the wires and are taken away before they are read. */
  readonly balls?: BallGrid;
}

/** An inner lead end. */
export interface LeadTip {
  /** Counted clockwise around the body from its top left corner, from 1. Not a pin number. */
  readonly lead: number;
  readonly tipPx: PointPx;
  /**
   * Whether it is one piece with the die pad: then its tip is the point where it runs into that. Null where denser
   * matter (a clip) lies over it, so that this cannot be seen.
   */
  readonly fusedToPad: boolean | null;
  /** A point on its own metal: the tip, or for a lead fused to the pad where it leaves the body. */
  readonly metalPx: PointPx;
  /** Where its wire was seen to reach the die's edge, if it was found by that. */
  readonly bondPx?: PointPx;
}
