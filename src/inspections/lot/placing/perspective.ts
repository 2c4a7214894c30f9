import { applyMap } from "../../../align/similarity.ts";
import type { PointPx } from "../../../numeric/image.ts";
import { median, quantile } from "../../../numeric/order.ts";
import { solveSymmetric } from "../../../numeric/solve.ts";
import type { Measured } from "../../../units/measured.ts";
import { notMeasured } from "../../../units/measured.ts";
import type { PlacedItem } from "../lot-item.ts";
import type { LotCompared, LotMeasurements } from "../result.ts";

/** How the size of parts runs over one picture: a tray that lies aslant, or a photograph taken from aslant. */
export interface Perspective {
  /** Largest part over smallest, less 1, as the slope alone would have it. */
  readonly range: number;
  /** Size to be expected of a part at a place of the picture, relative to the picture's middling part. */
  sizeAt(px: PointPx): number;
}

/** Parts of one picture that say how size runs over it, at least. */
const fewestParts = 6;
/** A slope of size over the parts by less is none. */
const leastRange = 0.015;
/** What sizes stray from a slope by at most, as a share of what it makes of them. */
const mostStray = 0.15;
/** This share of the parts may be of another size altogether. */
const otherShare = 0.2;
/**
 * From this range on no length is stated: px of one part are not px of the next. A tray of 100 mm, tilted by a degree
 * at 200 mm from the focal spot, makes 1 %.
 */
const mostMeasured = 0.04;

/** The perspective of every picture that shows one, by its name. */
export function perspectives(items: readonly PlacedItem[]): ReadonlyMap<string, Perspective> {
  const found = new Map<string, Perspective>();
  for (const picture of new Set(items.map((item) => item.picture.picture))) {
    const of = perspectiveOf(items.filter((item) => item.picture.picture === picture));
    if (of) found.set(picture, of);
  }
  return found;
}

function perspectiveOf(items: readonly PlacedItem[]): Perspective | null {
  if (items.length < fewestParts) return null;
  const sizes = items.map((item) => Math.log(item.aligned.scale));
  const places = items.map(placeOf);
  const all = slopeThrough(places, sizes);
  const strays = sizes.map((size, i) => Math.abs(size - all.at(places[i] as PointPx)));
  const limit = quantile(strays, 1 - otherShare);
  const alike = strays.flatMap((stray, i) => (stray <= limit ? [i] : []));
  const slope = slopeThrough(
    alike.map((i) => places[i] as PointPx),
    alike.map((i) => sizes[i] as number),
  );
  const expected = places.map(slope.at);
  const range = Math.max(...expected) - Math.min(...expected);
  const stray = median(alike.map((i) => Math.abs((sizes[i] as number) - (expected[i] as number))));
  if (range < leastRange || stray > mostStray * range) return null;
  const middle = median(expected);
  return { range: Math.expm1(range), sizeAt: (px) => Math.exp(slope.at(px) - middle) };
}

/** Middle of a part's body in its picture. */
export function placeOf({ patch }: PlacedItem): PointPx {
  return applyMap(patch.toPicture, patch.body.centrePx);
}

/** Least squares of a plane; parts that stand in one line say nothing of the slope across it, which is then 0. */
function slopeThrough(places: readonly PointPx[], values: readonly number[]) {
  const n = places.length;
  const mean = (of: readonly number[]) => of.reduce((sum, v) => sum + v, 0) / n;
  const [cx, cy] = [mean(places.map((p) => p[0])), mean(places.map((p) => p[1]))];
  const level = mean(values);
  let [xx, xy, yy, xv, yv] = [0, 0, 0, 0, 0];
  places.forEach(([px, py], i) => {
    const [x, y, v] = [px - cx, py - cy, (values[i] as number) - level];
    xx += x * x;
    xy += x * y;
    yy += y * y;
    xv += x * v;
    yv += y * v;
  });
  const held = 1e-6 * (xx + yy) + Number.MIN_VALUE;
  const solved = solveSymmetric(Float64Array.of(xx + held, xy, xy, yy + held), Float64Array.of(xv, yv));
  const [sx, sy] = [solved[0] as number, solved[1] as number];
  return { at: ([x, y]: PointPx) => level + sx * (x - cx) + sy * (y - cy) };
}

/** A part's measurements, its lengths withheld where the picture's perspective makes them incomparable. */
export function measurableIn(
  perspective: Perspective | undefined,
  measurements: LotMeasurements,
): LotMeasurements {
  if (!perspective || perspective.range < mostMeasured) return measurements;
  const withheld = ([name, value]: [string, Measured]) => [
    name,
    value.value !== null && (value.unit === "px" || value.unit === "mm")
      ? notMeasured(value.unit, "perspective")
      : value,
  ];
  return Object.fromEntries(Object.entries(measurements).map(withheld)) as unknown as LotMeasurements;
}

/** What is said of pictures in perspective; nothing where there are none. */
export function perspectiveCompared(found: ReadonlyMap<string, Perspective>): LotCompared[] {
  if (!found.size) return [];
  const range = Math.max(...[...found.values()].map((one) => one.range));
  const percent = `${(100 * range).toFixed(1)} %`;
  const strong = range >= mostMeasured;
  return [
    {
      characteristic: "perspective",
      assessable: !strong,
      because: `the size of parts runs over ${found.size} picture${found.size === 1 ? "" : "s"} by up to ${percent}, as where a tray lies or a camera looks aslant: each part is judged by the size that belongs to its place${strong ? "; outlines and proportions are compared, lengths are not measured: lay it flat, or take the picture from straight above" : ""}`,
      smallestDetectable: notMeasured("percent", strong ? "perspective" : "not-assessed"),
    },
  ];
}
