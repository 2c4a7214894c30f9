import {
  edgeUnderTaper,
  edgeUnderThinFillet,
  stepBlurPx,
  taperMisfit,
} from "../../../numeric/blurred-edge.ts";
import type { Image } from "../../../numeric/image.ts";
import { median } from "../../../numeric/order.ts";
import type { FittedRectangle } from "../../../numeric/rectangle-edges.ts";
import { sideProfile } from "../../../numeric/side-profile.ts";
import type { MeasuredRectangle } from "./measured-rectangle.ts";

const acrossPx = Array.from({ length: 17 }, (_, i) => 0.5 * i - 4);
const zeroAt = acrossPx.indexOf(0);
/** A wall lies this far outside of half-way up its fillet, px: what blur and fillets of any width can do. */
const wallPx = [-0.4, 0.75] as const;

/** Standard uncertainty of a wall under its fillet: the fillet's shape is not known. */
const uShapePx = 0.22;
/** The same for one profile; a fillet wanders along the side, so that it falls with the root of how many there are. */
const uProfilePx = 1.2;
/** A rise before the fall lower than this share of it is none: a bare edge, or a fillet as faint as its die. */
const leastRise = 0.04;
const uBarePx = 0.7;
/** Where the profile of a rise does not show how far out: middle and spread of such walls on simulated parts. */
const beyondPx = 0.48;
const uBeyondPx = 0.3;
/** Where the profile does not show the wall and half-way stands: half of how far that may lie off. */
const uHalfWayPx = 0.5;

/**
 * Moves each side of a die from half-way up what is seen of its fillet to the wall under it. A fillet that tapers off
 * within the blur is seen lower than it stands at the wall, so half-way lies inside, by 0.1 to 1.2 px. Of one narrower
 * than the blur only the fall beyond it is seen: half-way lies outside, by 1 to 1.5 px.
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
  const profiles = fit.sides.map(({ alongPx }, side) =>
    blurPx === null ? null : sideProfile(image, fit.rectangle, side, alongPx, acrossPx),
  );
  const sharpPx = blurPx === null ? null : blurAtMost(profiles, blurPx);
  const sides = fit.sides.map(({ alongPx }, side) => {
    const values = profiles[side];
    const wall = values && sharpPx !== null ? wallOf(values, sharpPx) : null;
    const scatter = uProfilePx / Math.sqrt(alongPx.length);
    return { at: wall?.at ?? 0, u: Math.hypot(wall?.u ?? uHalfWayPx, scatter) };
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

/** Shares of a pad's blur that are tried; its sides may be turned, thin or under a lid, and the die's sharper. */
const sharperShares = [0.7, 0.75, 0.8, 0.85, 0.9, 0.95, 1];
/** A fillet that stands as high as this share of its height 2 px on is wide enough to show the blur of the wall by itself. */
const wideShare = 0.5;

/** The blur, at most the pad's, that best explains the sides whose fillets are wide. */
function blurAtMost(profiles: readonly (readonly number[] | null)[], blurPx: number): number {
  const wide = profiles.filter((values): values is readonly number[] => {
    if (!values) return false;
    const level = ((values[0] as number) + (values[1] as number) + (values[2] as number)) / 3;
    const rises = values.slice(zeroAt, zeroAt + 6).map((v) => v - level);
    const most = Math.max(...rises);
    const on = values[zeroAt + rises.indexOf(most) + 4] ?? (values.at(-1) as number);
    return (values[zeroAt] as number) > level && on - level >= wideShare * most;
  });
  if (!wide.length) return blurPx;
  const misfits = sharperShares.map((share) =>
    wide.reduce((sum, values) => sum + taperMisfit(acrossPx, values, share * blurPx, wallPx), 0),
  );
  return blurPx * (sharperShares[misfits.indexOf(Math.min(...misfits))] as number);
}

/** The wall in a middle profile; a profile that falls at 0 has a fillet narrower than the blur, or none. */
function wallOf(values: readonly number[], blurPx: number): Side | null {
  const level = ((values[0] as number) + (values[1] as number) + (values[2] as number)) / 3;
  if ((values[zeroAt] as number) < level) {
    const rise = Math.max(...values.slice(1, zeroAt)) - level;
    if (rise < leastRise * (level - Math.min(...values.slice(zeroAt, zeroAt + 4))))
      return { at: 0, u: uBarePx };
    const thin = edgeUnderThinFillet(acrossPx, values, blurPx);
    return thin && { at: thin.at, u: Math.hypot(uShapePx, thin.halfRangePx / Math.sqrt(3)) };
  }
  const at = edgeUnderTaper(acrossPx, values, blurPx, wallPx);
  return at === null ? { at: beyondPx, u: uBeyondPx } : { at, u: uShapePx };
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
