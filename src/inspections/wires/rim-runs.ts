import type { Image, PointPx } from "../../numeric/image.ts";
import { median, quantile } from "../../numeric/order.ts";
import type { LeadMetal } from "./lead-metal.ts";
import { metalOverMould } from "./lead-metal.ts";
import type { WireScene } from "./wire-parts.ts";

/** A place where a piece of metal meets the body's edge. */
export interface RimRun {
  /** 0 top, 1 right, 2 bottom, 3 left. */
  readonly side: number;
  /** Its middle along the side, frame px. */
  readonly at: number;
  readonly widthPx: number;
  readonly middlePx: PointPx;
  readonly ofPad: boolean;
}

/** How far inside the body's edge a piece must reach to meet it, and how far outside a lead is looked for. */
const insideShare = 0.025;
const outsideShare = 0.05;
const leastInsidePx = 3;
const leastOutsidePx = 4;
/** A lead goes on outside with at least this share of what the others show there. */
const leastOutside = 0.5;

/** Points along a line beside one side of the body, `offPx` outside it (negative: inside). */
function alongSide({ body }: WireScene, side: number, offPx: number): PointPx[] {
  const [cx, cy] = body.centrePx;
  const across = side % 2 === 1;
  const half = (across ? body.lengthPx : body.widthPx) / 2 + offPx;
  const reach = Math.floor((across ? body.widthPx : body.lengthPx) / 2);
  const sign = side === 1 || side === 2 ? 1 : -1;
  return Array.from({ length: 2 * reach + 1 }, (_, k): PointPx => {
    const t = k - reach;
    return across
      ? [Math.round(cx + sign * half), Math.round(cy + t)]
      : [Math.round(cx + t), Math.round(cy + sign * half)];
  });
}

/** Where pieces of metal meet the body's edge, side by side. */
export function rimRuns({ width, height, labels, ofPad }: LeadMetal, scene: WireScene): RimRun[] {
  const inside = -Math.max(leastInsidePx, insideShare * scene.body.widthPx);
  const runs: RimRun[] = [];
  for (let side = 0; side < 4; side++) {
    const points = alongSide(scene, side, inside);
    const own = points.map(([x, y]) =>
      x >= 0 && y >= 0 && x < width && y < height ? (labels[y * width + x] as number) : 0,
    );
    for (const [first, last] of stretchesOf(own)) {
      runs.push({ ...runOf(side, points, first, last), ofPad: ofPad.has(own[first] as number) });
    }
  }
  return runs;
}

/** First and last index of every run of one value but 0. */
function stretchesOf(values: readonly number[]): [number, number][] {
  const found: [number, number][] = [];
  for (let i = 0, first = 0; i <= values.length; i++) {
    if (i < values.length && values[i] === values[first]) continue;
    if (values[first]) found.push([first, i - 1]);
    first = i;
  }
  return found;
}

function runOf(side: number, points: readonly PointPx[], first: number, last: number) {
  const [p, q] = [points[first] as PointPx, points[last] as PointPx];
  const middlePx: PointPx = [(p[0] + q[0]) / 2, (p[1] + q[1]) / 2];
  return { side, at: middlePx[side % 2 === 1 ? 1 : 0], widthPx: last - first + 1, middlePx };
}

/**
 * What leads do outside the body, by the leads that are no part of the pad.
 *
 * @returns null where those do not go on outside: a package whose leads end flush with its body
 */
export function metalOutside(image: Image, scene: WireScene, free: readonly RimRun[]) {
  const off = Math.max(leastOutsidePx, outsideShare * scene.body.widthPx);
  const sides = [0, 1, 2, 3].map((side) => {
    const points = alongSide(scene, side, off);
    const values = points.map(([x, y]) => {
      const v = x >= 0 && y >= 0 && x < image.width && y < image.height ? image.data[y * image.width + x] : 0;
      return v === undefined || Number.isNaN(v) ? 0 : v;
    });
    return { points, values, ground: quantile(values, 0.1) };
  });
  const over = free.map((run) => {
    const { points, values, ground } = sides[run.side] as (typeof sides)[number];
    const own = values.filter((_, i) => within(points[i] as PointPx, run));
    return own.length ? median(own) - ground : 0;
  });
  // Where no lead is free of the pad, one stands out as metal does over mould.
  const usual = over.length ? median(over) : metalOverMould(image, scene);
  if (!(usual > 0.3 * metalOverMould(image, scene))) return null;
  /** The leads that a piece meeting the rim goes on as; none for a tie bar. */
  const continuing = (run: RimRun): RimRun[] => {
    const { points, values, ground } = sides[run.side] as (typeof sides)[number];
    const dense = values.map((v, i) =>
      within(points[i] as PointPx, run) && v - ground > leastOutside * usual ? 1 : 0,
    );
    return stretchesOf(dense)
      .filter(([first, last]) => last - first + 1 >= 3)
      .map(([first, last]) => {
        const { at, widthPx, middlePx } = runOf(run.side, points, first, last);
        const [x, y] = run.side % 2 === 1 ? [run.middlePx[0], middlePx[1]] : [middlePx[0], run.middlePx[1]];
        return { side: run.side, at, widthPx, middlePx: [x, y], ofPad: true };
      });
  };
  return { continuing };
}

function within(point: PointPx, run: RimRun): boolean {
  return Math.abs(point[run.side % 2 === 1 ? 1 : 0] - run.at) <= run.widthPx / 2;
}
