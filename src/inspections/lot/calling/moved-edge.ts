import type { BoxPx, Image } from "../../../numeric/image.ts";
import type { DifferingPlace, PartDifference } from "../grouping/part-difference.ts";

/** A piece set beside its place shows as a strip no wider than this share of the body's shorter side (common practice). */
const mostMovedShare = 0.03;
/** A strip is at least this many times as long as thick. */
const leastAspect = 4;
/** No edge that lies elsewhere adds more than its own step, which blur and chance may make look smaller by this. */
const mostOfStep = 1.3;

/** Strips of a few px may be that thick in any body. */
const leastMovedPx = 2;

/**
 * The places of a part that are no edges lying a little elsewhere.
 *
 * @param middle of the group with which it was compared
 * @param bodyWidthPx the body's shorter side, compare px
 */
export function unmovedPlaces(
  { places, excess }: PartDifference,
  middle: Image,
  bodyWidthPx: number,
  slackPx: number,
): DifferingPlace[] {
  const mostThickPx = Math.max(leastMovedPx, mostMovedShare * bodyWidthPx);
  return places.filter((place) => !isMovedEdge(place, excess, middle, mostThickPx, slackPx));
}

/** A differing place as it is told whether it is an edge that lies a little elsewhere. */
interface Place {
  readonly sign: 1 | -1;
  readonly boxPx: BoxPx;
  /** Mean attenuation difference from the middle. */
  readonly by: number;
}

/**
 * Whether a place is an edge of the group that lies a little elsewhere (a lid, a clip, a heat slug set beside its
 * place): a strip along a step of the group's middle, no thicker than pieces are set off, differing by no more than
 * that step. A bar or wire that is there or not has the same on both its sides, a particle is no strip.
 *
 * @param excess signed excess of the part; 0 where it does not differ
 * @param middle the group's middle, same size
 * @param mostThickPx thickest strip
 * @param slackPx how far from the strip its sides are read
 */
export function isMovedEdge(
  { sign, boxPx: [x0, y0, width, height], by }: Place,
  excess: Image,
  middle: Image,
  mostThickPx: number,
  slackPx: number,
): boolean {
  const points: [number, number][] = [];
  let [sx, sy] = [0, 0];
  for (let y = y0; y < y0 + height; y++) {
    for (let x = x0; x < x0 + width; x++) {
      if (!(sign * (excess.data[y * excess.width + x] as number) > 0)) continue;
      points.push([x, y]);
      sx += x;
      sy += y;
    }
  }
  const n = points.length;
  if (!n) return false;
  const [cx, cy] = [sx / n, sy / n];
  let [xx, xy, yy] = [1 / 12, 0, 1 / 12];
  for (const [x, y] of points) {
    xx += (x - cx) ** 2 / n;
    xy += ((x - cx) * (y - cy)) / n;
    yy += (y - cy) ** 2 / n;
  }
  const turn = 0.5 * Math.atan2(2 * xy, xx - yy);
  const half = Math.hypot((xx - yy) / 2, xy);
  const longPx = Math.sqrt(12 * ((xx + yy) / 2 + half));
  const thickPx = Math.min(Math.sqrt(12 * Math.max(0, (xx + yy) / 2 - half)), (1.5 * n) / longPx);
  if (thickPx > mostThickPx || longPx < leastAspect * thickPx) return false;
  const reach = thickPx / 2 + slackPx + 2;
  const [nx, ny] = [-Math.sin(turn), Math.cos(turn)];
  const [ux, uy] = [Math.cos(turn), Math.sin(turn)];
  let [step, steps] = [0, 0];
  for (let t = -0.4 * longPx; t <= 0.4 * longPx; t++) {
    const [px, py] = [cx + t * ux, cy + t * uy];
    const one = valueAt(middle, px + reach * nx, py + reach * ny);
    const other = valueAt(middle, px - reach * nx, py - reach * ny);
    if (one === null || other === null) continue;
    step += one - other;
    steps++;
  }
  return steps > 0 && Math.abs(by) <= mostOfStep * Math.abs(step / steps);
}

function valueAt({ width, height, data }: Image, x: number, y: number): number | null {
  const [u, v] = [Math.round(x), Math.round(y)];
  if (u < 0 || v < 0 || u >= width || v >= height) return null;
  const value = data[v * width + u] as number;
  return Number.isNaN(value) ? null : value;
}
