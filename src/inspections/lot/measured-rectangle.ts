import type { OrientedRectangle } from "../../numeric/oriented-rectangle.ts";

/** A rectangle measured in one part, in patch pixels, with standard uncertainties of its sides. */
export interface MeasuredRectangle {
  readonly rectangle: OrientedRectangle;
  readonly uLengthPx: number;
  readonly uWidthPx: number;
  /** Share of the edge profiles that agree on the four sides. */
  readonly agreement: number;
  /** Where along each side the agreeing profiles stand. */
  readonly sidesAlongPx: readonly (readonly number[])[];
}
