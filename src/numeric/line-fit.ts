import { RangeOfArgumentError } from "./errors.ts";
import type { PointPx } from "./image.ts";
import { madsPerSigma, median } from "./order.ts";

/** A straight line fitted to points, with its doubt. */
export interface Line {
  /** Weighted centre of the points, on the line. */
  readonly pointPx: PointPx;
  /** Unit vector along the line; its first non-zero part is positive. */
  readonly direction: readonly [number, number];
  /** Direction turned by +90 degrees (from x towards y). */
  readonly normal: readonly [number, number];
  /** Weighted standard deviation of the distances from the line, two degrees of freedom taken off. */
  readonly sigmaPx: number;
  /** Standard uncertainty of the line's offset at `pointPx`, and of its direction. */
  readonly offsetU: number;
  readonly angleU: number;
  /** Weight of each point as used, 0..1 for a robust fit. */
  readonly weights: Float64Array;
}

/** Signed distance of a point from a line, along its normal. */
export function distanceFromLine(line: Pick<Line, "pointPx" | "normal">, [x, y]: PointPx): number {
  return (x - line.pointPx[0]) * line.normal[0] + (y - line.pointPx[1]) * line.normal[1];
}

/**
 * Total least squares line (distances measured across the line).
 *
 * @param weights one per point, 0 or more; all 1 unless given
 * @throws RangeOfArgumentError for fewer than two distinct weighted points
 */
export function fitLine(points: readonly PointPx[], weights?: ArrayLike<number>): Line {
  const used = Float64Array.from(points, (_, i) => (weights === undefined ? 1 : weights[i]));
  let sum = 0;
  let cx = 0;
  let cy = 0;
  points.forEach(([x, y], i) => {
    sum += used[i];
    cx += used[i] * x;
    cy += used[i] * y;
  });
  cx /= sum;
  cy /= sum;
  let sxx = 0;
  let sxy = 0;
  let syy = 0;
  points.forEach(([x, y], i) => {
    sxx += used[i] * (x - cx) * (x - cx);
    sxy += used[i] * (x - cx) * (y - cy);
    syy += used[i] * (y - cy) * (y - cy);
  });
  if (!(sum > 0 && sxx + syy > 0))
    throw new RangeOfArgumentError("points", "two or more distinct points of weight", points.length);
  const angle = 0.5 * Math.atan2(2 * sxy, sxx - syy);
  let direction: [number, number] = [Math.cos(angle), Math.sin(angle)];
  if (direction[0] < 0 || (direction[0] === 0 && direction[1] < 0))
    direction = [-direction[0], -direction[1]];
  const half = Math.hypot((sxx - syy) / 2, sxy);
  const across = Math.max(0, (sxx + syy) / 2 - half);
  const along = (sxx + syy) / 2 + half;
  const effective = sum / Math.max(...used);
  const variance = effective > 2 ? (across / sum) * (effective / (effective - 2)) : across / sum;
  return {
    pointPx: [cx, cy],
    direction,
    normal: [-direction[1], direction[0]],
    sigmaPx: Math.sqrt(variance),
    offsetU: Math.sqrt(variance / effective),
    angleU: Math.sqrt((variance * sum) / (effective * along)),
    weights: used,
  };
}

/**
 * Line through the greater part of the points: starts from the pair of points whose line has the least median
 * distance (a fixed set of pairs, so the result does not depend on chance), then reweights with Tukey's biweight,
 * c = 4.685 robust standard deviations. Stands up to nearly half the points being elsewhere.
 *
 * @param floorPx least standard deviation assumed, so that exact points do not exclude each other
 * @throws RangeOfArgumentError for fewer than two distinct points
 */
export function fitLineRobust(points: readonly PointPx[], floorPx = 0.02, iterations = 20): Line {
  if (points.length < 4) return fitLine(points);
  let line = startingLine(points) ?? fitLine(points);
  let sigma = Math.max(floorPx, madsPerSigma * medianDistance(points, line));
  for (let k = 0; k < iterations; k++) {
    const weights = points.map((point) => {
      const z = distanceFromLine(line, point) / (4.685 * sigma);
      return Math.abs(z) < 1 ? (1 - z * z) ** 2 : 0;
    });
    const next = fitLine(points, weights);
    const moved =
      Math.abs(distanceFromLine(next, line.pointPx)) +
      Math.abs(next.direction[0] * line.normal[0] + next.direction[1] * line.normal[1]);
    line = next;
    sigma = Math.max(floorPx, madsPerSigma * medianDistance(points, line));
    if (moved < 1e-9) break;
  }
  return line;
}

function medianDistance(points: readonly PointPx[], line: Pick<Line, "pointPx" | "normal">): number {
  return median(Float64Array.from(points, (point) => Math.abs(distanceFromLine(line, point))));
}

function startingLine(points: readonly PointPx[]): Line | undefined {
  const n = points.length;
  const stride = Math.max(1, Math.floor(n / 24));
  let best: Line | undefined;
  let least = Number.POSITIVE_INFINITY;
  for (let i = 0; i < n; i += stride) {
    for (let j = i + stride; j < n; j += stride) {
      if (points[i][0] === points[j][0] && points[i][1] === points[j][1]) continue;
      const candidate = fitLine([points[i], points[j]]);
      const score = medianDistance(points, candidate);
      if (score < least) {
        least = score;
        best = candidate;
      }
    }
  }
  return best;
}
