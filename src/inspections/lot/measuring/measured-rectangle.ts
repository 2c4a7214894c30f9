import type { OrientedRectangle } from "../../../numeric/oriented-rectangle.ts";

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

/** A die's side this near to its pad's is the pad's own, px: what lies between is not seen. */
const onPadPx = 1.8;

/** Whether a die's outline runs along a side of its pad (same direction), so that the side is the pad's. */
export function sharesSide(die: OrientedRectangle, pad: OrientedRectangle): boolean {
  const [c, s] = [Math.cos(die.angleRad), Math.sin(die.angleRad)];
  const [dx, dy] = [pad.centrePx[0] - die.centrePx[0], pad.centrePx[1] - die.centrePx[1]];
  const across = Math.abs(Math.sin(pad.angleRad - die.angleRad)) > 0.7;
  const [along, aside] = across ? [pad.widthPx, pad.lengthPx] : [pad.lengthPx, pad.widthPx];
  const more = [(along - die.lengthPx) / 2, (aside - die.widthPx) / 2] as const;
  const off = [c * dx + s * dy, c * dy - s * dx] as const;
  return [more[0] + off[0], more[0] - off[0], more[1] + off[1], more[1] - off[1]].some(
    (apart) => Math.abs(apart) < onPadPx,
  );
}
