import type { PointPx } from "../../numeric/image.ts";
import { median, quantile, robustSpread } from "../../numeric/order.ts";
import type { OrientedRectangle } from "../../numeric/oriented-rectangle.ts";
import type { WireCourse } from "./search-courses.ts";
import { courseEnd } from "./search-courses.ts";
import { inFrame, onLines, sampleStrip, without } from "./strip.ts";
import { bestLine, contrastAlong, mostInRow, smoothRows, standOut, stretchMeans } from "./strip-line.ts";
import type { WirePart, WireScene } from "./wire-parts.ts";

/** Stretches of equal length into which a course is divided. */
export const stretches = 12;

/** What one part shows along a course: contrast by stretch of the densest line. */
export interface CourseReading {
  /** Attenuation over both sides, by stretch from the lead to the die; NaN outside the picture. */
  readonly dense: readonly number[];
  /** What stands out most anywhere beside the course, by stretch: a wire that was lost still does. */
  readonly most: readonly number[];
  /** By stretch, share of the rows in which an edge or another wire within a few px of the line may hide this one. */
  readonly hidden: readonly number[];
  /** Attenuation by which the sides of a row that counts differ at most. */
  readonly mostUneven: number;
  /** How far to the left of the course the densest line starts, and ends on the die's edge, px. */
  readonly asidePx: readonly [start: number, end: number];
  /** Unit vector in the frame in which that is counted at the die. */
  readonly leftAtEnd: PointPx;
  /** Where the densest line runs in the frame, about one point a pixel from the lead to the die. */
  readonly linePx: readonly PointPx[];
}

/** How far from a course a part's own wire may run. */
export interface Play {
  /** Beside the course at the lead, px. */
  readonly startPx: number;
  /** Beside the course at the die, px. */
  readonly endPx: number;
  /** By which all bonds of this part are off the die, px. */
  readonly shiftPx: PointPx;
}

/** What is known of a course's surroundings. */
export interface KnownBeside {
  /** Lines of the part that are other wires: what stands out on them is not this one. */
  readonly taken: readonly (readonly PointPx[])[];
  /** Attenuation by which the sides of a row may differ, from the group. */
  readonly mostUneven: number;
}

/** A line this near to another wire's or to an edge may be drawn aside by it, px. */
const besidePx = 2;

/** Rows whose sides differ by more than this many times what stands out along the strip say nothing of the wire. */
const unevenShare = 1.5;

/**
 * Follows the densest line along a course in one part.
 *
 * @param known null where nothing is known yet of the course
 */
export function readCourse(
  part: WirePart,
  course: WireCourse,
  scene: WireScene,
  flankPx: number,
  play: Play,
  known: KnownBeside | null = null,
): CourseReading {
  const [x, y] = courseEnd(course, part.die ?? scene.die);
  const end: PointPx = [x + play.shiftPx[0], y + play.shiftPx[1]];
  const widePx = Math.ceil(Math.max(play.startPx, play.endPx));
  const strip = sampleStrip(part.image, course.tipPx, end, widePx + flankPx);
  const last = strip.lengthPx - 1;
  const reach = (t: number) => play.startPx + ((play.endPx - play.startPx) * t) / Math.max(1, last);
  const others = onLines(strip, course.tipPx, end, known?.taken ?? [], Math.max(2, flankPx / 2));
  const over = without(standOut(smoothRows(strip), flankPx), others);
  const most = mostInRow(over, strip.lengthPx);
  const line = bestLine(strip, over, reach);
  const mostUneven = known?.mostUneven ?? unevenShare * quantile(most, 0.5);
  const contrast = contrastAlong(strip, line, flankPx, mostUneven);
  const columns = 2 * strip.halfWidthPx + 1;
  const hidden = Float32Array.from(line, (c, t) => {
    for (
      let at = Math.max(flankPx, c - besidePx);
      at <= Math.min(columns - 1 - flankPx, c + besidePx);
      at++
    ) {
      const i = t * columns + at;
      if (others?.[i]) return 1;
      if (Math.abs((strip.data[i - flankPx] as number) - (strip.data[i + flankPx] as number)) > mostUneven)
        return 1;
    }
    return 0;
  });
  for (let t = 0; t <= last; t++) if (others?.[t * columns + (line[t] as number)]) contrast[t] = Number.NaN;
  return {
    dense: stretchMeans(contrast, stretches),
    most: stretchMeans(most, stretches),
    hidden: stretchMeans(hidden, stretches),
    mostUneven,
    asidePx: [
      (line[Math.min(3, last)] as number) - strip.halfWidthPx,
      (line[last] as number) - strip.halfWidthPx,
    ],
    leftAtEnd: leftOf(course.tipPx, end),
    linePx: inFrame(line, strip, course.tipPx, end),
  };
}

/** Unit vector to the left of the way from one point to another. */
function leftOf([x0, y0]: PointPx, [x1, y1]: PointPx): PointPx {
  const length = Math.hypot(x1 - x0, y1 - y0);
  return length ? [(y1 - y0) / length, -(x1 - x0) / length] : [0, 0];
}

/**
 * The shift of all bonds of a part that explains where its wires end, least squares over those seen.
 *
 * @returns null for fewer than three wires or where they all run one way: then it is not known
 */
export function commonShift(readings: readonly CourseReading[]): PointPx | null {
  let [xx, xy, yy, xa, ya] = [0, 0, 0, 0, 0];
  for (const {
    leftAtEnd: [x, y],
    asidePx: [, a],
  } of readings) {
    xx += x * x;
    xy += x * y;
    yy += y * y;
    xa += x * a;
    ya += y * a;
  }
  const determinant = xx * yy - xy * xy;
  if (readings.length < 3 || determinant < 0.05 * readings.length ** 2) return null;
  return [(yy * xa - xy * ya) / determinant, (xx * ya - xy * xa) / determinant];
}

/** What the lot shows along a course, by stretch. */
export interface CourseNorm {
  /** Contrast that a wire adds: middle of the lines found over that of those found with all wires taken out. */
  readonly wire: readonly number[];
  /** What the same search finds with all wires taken out: middle and robust standard deviation. */
  readonly chance: readonly number[];
  readonly spread: readonly number[];
  /** What stands out most anywhere beside it, middle over the parts. */
  readonly most: readonly number[];
  /** Attenuation by which the sides of a row that counts differ at most, middle over the parts. */
  readonly mostUneven: number;
}

/**
 * The norm from all readings of one course.
 *
 * @param empty by part and stretch: contrast of the densest line beside the wires
 * @param gains how strongly each part shows its wires against the others
 */
export function courseNorm(
  readings: readonly CourseReading[],
  empty: readonly (readonly number[])[],
  gains: readonly number[],
): CourseNorm {
  const wire: number[] = [];
  const chance: number[] = [];
  const spread: number[] = [];
  const most: number[] = [];
  const everywhere = finite(empty.flat());
  const usual = robustSpread(everywhere);
  for (let k = 0; k < stretches; k++) {
    const dense = finite(readings.map((r) => r.dense[k] as number));
    const beside = finite(empty.map((of) => of[k] as number));
    // Between two wires taken out lies what is lighter than both; where there is no wire nothing is.
    const none = beside.length ? Math.max(0, median(beside)) : 0;
    const seen = dense.length ? median(dense) : 0;
    most.push(median(readings.map((r) => r.most[k] as number)));
    chance.push(none);
    wire.push(Math.max(0, seen - none));
    // Where edges are crossed at a slant the parts differ by more than chance; and no stretch alone decides.
    // Where wires lie so close that nothing is left between them, edges and chance are as elsewhere along it.
    const chanceSpread = beside.length ? robustSpread(beside) : usual;
    const alike = finite(readings.map((r, p) => (r.dense[k] as number) / (gains[p] as number)));
    const wireSpread = alike.length ? robustSpread(alike) : Number.POSITIVE_INFINITY;
    spread.push(Math.max(chanceSpread, wireSpread, 0.25 * (wire[k] as number), 1e-6));
  }
  return { wire, chance, spread, most, mostUneven: median(readings.map((r) => r.mostUneven)) };
}

function finite(values: readonly number[]): number[] {
  return values.filter((v) => Number.isFinite(v));
}

/** How much of the lot's wire a part shows over some stretches: 1 as the others, 0 none; with its contrast-to-noise. */
export interface Share {
  readonly share: number;
  /** Contrast of the lot's wire over these stretches to what chance leaves in one part. */
  readonly contrastToNoise: number;
}

/**
 * Weighs the stretches from `from` to `to` by how well the lot shows the wire there (matched filter: Turin, IRE Trans.
 * Information Theory 6, 1960).
 */
export function shareOfWire(reading: CourseReading, norm: CourseNorm, from = 0, to = stretches): Share {
  let got = 0;
  let whole = 0;
  for (let k = from; k < to; k++) {
    const value = reading.dense[k] as number;
    if (!Number.isFinite(value)) continue;
    const wire = norm.wire[k] as number;
    const weight = wire / (norm.spread[k] as number) ** 2;
    // One stretch that crosses a dense body counts for no more than twice the wire.
    got += weight * Math.min(2 * wire, value - (norm.chance[k] as number));
    whole += weight * wire;
  }
  return { share: whole ? got / whole : 0, contrastToNoise: Math.sqrt(whole) };
}

/** The course moved to where the parts' lines start and end in the middle. */
export function centredCourse(
  course: WireCourse,
  readings: readonly CourseReading[],
  die: OrientedRectangle,
): WireCourse {
  const [startPx, endPx] = [0, 1].map((k) => median(readings.map((r) => r.asidePx[k] as number))) as [
    number,
    number,
  ];
  const end = courseEnd(course, die);
  const left = leftOf(course.tipPx, end);
  const c = Math.cos(die.angleRad);
  const s = Math.sin(die.angleRad);
  const [mx, my] = [endPx * left[0], endPx * left[1]];
  return {
    ...course,
    tipPx: [course.tipPx[0] + startPx * left[0], course.tipPx[1] + startPx * left[1]],
    onDie: [
      course.onDie[0] + (c * mx + s * my) / die.lengthPx,
      course.onDie[1] + (-s * mx + c * my) / die.widthPx,
    ],
  };
}
