import { edgeUnderTaper, stepBlurPx } from "../../numeric/blurred-edge.ts";
import type { Image } from "../../numeric/image.ts";
import { median } from "../../numeric/order.ts";
import type { FittedRectangle } from "../../numeric/rectangle-edges.ts";
import { sideProfile } from "../../numeric/side-profile.ts";
import type { MeasuredRectangle } from "./measured-rectangle.ts";

const acrossPx = Array.from({ length: 17 }, (_, i) => 0.5 * i - 4);
/** A wall lies this far outside of half-way up its fillet, px: what blur and fillets of any width can do. */
const wallPx = [-0.4, 0.75] as const;

/** Standard uncertainty of a wall under its fillet: the fillet's shape is not known. */
const uShapePx = 0.22;
/** The same for one profile; a fillet wanders along the side, so that it falls with the root of how many there are. */
const uProfilePx = 1.2;
/** Where the profile does not show the wall and half-way stands: half of how far that may lie off. */
const uHalfWayPx = 0.5;

/**
 * Moves each side of a die from half-way up what is seen of its fillet to the wall under it. A fillet that tapers off
 * within the blur is seen lower than it stands at the wall, so half-way lies inside, by 0.1 to 0.8 px.
 *
 * @param halfWay as fitted, `fit` the fit itself
 * @param blurPx of the part's metal edges; null leaves the sides where they are
 */
export function withWalls(
  image: Image,
  halfWay: MeasuredRectangle,
  fit: FittedRectangle,
  blurPx: number | null,
): MeasuredRectangle {
  const sides = fit.sides.map(({ alongPx }, side) => {
    const values = blurPx === null ? null : sideProfile(image, fit.rectangle, side, alongPx, acrossPx);
    const at = values && edgeUnderTaper(acrossPx, values, blurPx as number, wallPx);
    const scatter = uProfilePx / Math.sqrt(alongPx.length);
    return { at: at ?? 0, u: Math.hypot(at === null ? uHalfWayPx : uShapePx, scatter) };
  });
  const [right, bottom, left, top] = sides as [Side, Side, Side, Side];
  const { centrePx, angleRad, lengthPx, widthPx } = fit.rectangle;
  const [c, s] = [Math.cos(angleRad), Math.sin(angleRad)];
  const [along, across] = [(right.at - left.at) / 2, (bottom.at - top.at) / 2];
  return {
    ...halfWay,
    rectangle: {
      angleRad,
      centrePx: [centrePx[0] + c * along - s * across, centrePx[1] + s * along + c * across],
      lengthPx: lengthPx + right.at + left.at,
      widthPx: widthPx + bottom.at + top.at,
    },
    uLengthPx: Math.hypot(right.u, left.u),
    uWidthPx: Math.hypot(bottom.u, top.u),
  };
}

interface Side {
  readonly at: number;
  readonly u: number;
}

/** A pad's sides are turned and etched a little, which adds to their blur (calibrated on simulated lots of one seed). */
const padBlurShare = 0.94;

/** Blur of a part's metal edges: the middle of those of its pad's sides. */
export function edgeBlurPx(image: Image, pad: MeasuredRectangle | null): number | null {
  if (!pad) return null;
  const blurs = pad.sidesAlongPx.flatMap((alongPx, side) => {
    const values = sideProfile(image, pad.rectangle, side, alongPx, acrossPx);
    const blur = values && stepBlurPx(acrossPx, values);
    return blur !== null && blur > 0.3 && blur < 2.5 ? [blur] : [];
  });
  return blurs.length >= 2 ? padBlurShare * median(blurs) : null;
}
