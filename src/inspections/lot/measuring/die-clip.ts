import type { AffineMap } from "../../../align/similarity.ts";
import type { Image, PointPx } from "../../../numeric/image.ts";
import { median } from "../../../numeric/order.ts";
import type { OrientedRectangle } from "../../../numeric/oriented-rectangle.ts";
import { sideProfile } from "../../../numeric/side-profile.ts";
import type { InsideBody } from "./inside-body.ts";
import { intoPatch, measureDie } from "./measure-part.ts";
import type { MeasuredRectangle } from "./measured-rectangle.ts";

/** A clip over the die: a dense plate whose sides run straight on beyond the pad, over mould, towards leads. */
export interface DieClip {
  readonly rectangle: OrientedRectangle;
  /** What it adds over the die, attenuation. */
  readonly adds: number;
}

/** From here on beside a clip's side, px, is read what lies under it and what beside it. */
const besidePx = [3, 6] as const;
/** A strip that runs over mould for this share of the body's shorter side is no die. */
const leastOverMould = 0.06;
/** Rows in a run that do not show it (a wire crosses its side), as a share of the body's shorter side. */
const mostGap = 0.04;
/** A row shows the strip where it stands out by this share of its step over the die, over mould of the frame's. */
const leastOfStep = 0.5;
/** A clip adds at least this share of what the frame adds to mould; thin dies and their fillets add less. */
const leastOfFrame = 0.25;
/** The plate's edges as blurred: the usual of sharp pictures; what is left is outvoted. */
const edgeBlurPx = 1;

/**
 * Tells whether what was taken for the die is a clip lying over it. A die never lies over bare mould; a clip reaches
 * leads, so that its two sides run straight on beyond the pad.
 *
 * @param image the part in the frame
 * @param inside what was seen with the clip, if there is one, taken for the die
 */
export function findClip(
  image: Image,
  body: OrientedRectangle,
  inside: InsideBody,
  noise: number,
): DieClip | null {
  if (!inside.die || inside.dieLevel === null) return null;
  const plate =
    measureDie({ image }, inside.die, inside.dieLevel, noise)?.rectangle ?? ontoSteepest(image, inside.die);
  let best: { side: number; endPx: number } | null = null;
  for (const side of [0, 1, 2, 3]) {
    const endPx = runsOnTo(image, plate, side, body, inside);
    if (endPx !== null && (!best || endPx > best.endPx)) best = { side, endPx };
  }
  if (!best) return null;
  const adds = stepOf(image, plate, best.side);
  return adds > 0 ? { rectangle: lengthened(plate, best.side, best.endPx), adds } : null;
}

/** The picture less the clip: what lies under it shows nearly as it does beside it. `map` carries the clip into it. */
export function withoutClip(image: Image, clip: DieClip | null, map: AffineMap | null = null): Image {
  if (!clip) return image;
  const { centrePx, angleRad, lengthPx, widthPx } = map ? intoPatch(map, clip.rectangle) : clip.rectangle;
  const [c, s] = [Math.cos(angleRad), Math.sin(angleRad)];
  const data = Float32Array.from(image.data);
  for (let y = 0; y < image.height; y++) {
    for (let x = 0; x < image.width; x++) {
      const [dx, dy] = [x - centrePx[0], y - centrePx[1]];
      const within = Math.min(
        lengthPx / 2 - Math.abs(c * dx + s * dy),
        widthPx / 2 - Math.abs(c * dy - s * dx),
      );
      if (within < -4 * edgeBlurPx) continue;
      const i = y * image.width + x;
      data[i] = (data[i] as number) - clip.adds / (1 + Math.exp((-1.7 * within) / edgeBlurPx));
    }
  }
  return { ...image, data };
}

/** Where a clip's edge lies nearer to a die's side than this, px, one may be read for the other. */
const apartPx = 4;
/** Standard uncertainty of a side that may be a clip's. */
const uMistakenPx = 1.25;

/** A die's outline, less sure on the sides beside which an edge of the clip lies. */
export function besideClip(die: MeasuredRectangle, clip: DieClip | null, map: AffineMap): MeasuredRectangle {
  if (!clip) return die;
  const plate = intoPatch(map, clip.rectangle);
  const { centrePx, angleRad, lengthPx, widthPx } = die.rectangle;
  const across = Math.abs(Math.sin(plate.angleRad - angleRad)) > 0.7;
  const [along, aside] = across ? [plate.widthPx, plate.lengthPx] : [plate.lengthPx, plate.widthPx];
  const [dx, dy] = [plate.centrePx[0] - centrePx[0], plate.centrePx[1] - centrePx[1]];
  const [c, s] = [Math.cos(angleRad), Math.sin(angleRad)];
  const mistaken = (off: number, of: number, half: number): number =>
    [half, -half].filter((side) =>
      [off - of / 2, off + of / 2].some((edge) => Math.abs(edge - side) < apartPx),
    ).length;
  const u = (own: number, sides: number) => Math.hypot(own, Math.sqrt(sides) * uMistakenPx);
  return {
    ...die,
    uLengthPx: u(die.uLengthPx, mistaken(c * dx + s * dy, along, lengthPx / 2)),
    uWidthPx: u(die.uWidthPx, mistaken(c * dy - s * dx, aside, widthPx / 2)),
  };
}

const aboutPx = Array.from({ length: 25 }, (_, i) => 0.5 * i - 6);

/** A plate found coarsely, each side moved to where the picture falls most steeply across it. */
function ontoSteepest(image: Image, plate: OrientedRectangle): OrientedRectangle {
  return [0, 1, 2, 3].reduce((rect, side) => {
    const along = side % 2 === 0 ? plate.widthPx : plate.lengthPx;
    const alongPx = Array.from({ length: 41 }, (_, i) => 0.8 * along * (i / 40 - 0.5));
    const values = sideProfile(image, plate, side, alongPx, aboutPx);
    if (!values) return rect;
    const falls = values.slice(2).map((v, k) => (values[k] as number) - v);
    const by = aboutPx[falls.indexOf(Math.max(...falls)) + 1] as number;
    return lengthened(rect, side, (side % 2 === 0 ? rect.lengthPx : rect.widthPx) / 2 + by);
  }, plate);
}

/** How far a plate's two sides run on beyond one of its ends, px from its middle; null where not over mould. */
function runsOnTo(
  image: Image,
  plate: OrientedRectangle,
  side: number,
  body: OrientedRectangle,
  { levels }: InsideBody,
): number | null {
  const step = stepOf(image, plate, side);
  const frame = levels.metal - levels.mould;
  if (!(step > leastOfFrame * frame)) return null;
  const half = (side % 2 === 0 ? plate.lengthPx : plate.widthPx) / 2;
  const reach = Math.max(body.lengthPx, body.widthPx);
  const gapPx = mostGap * body.widthPx;
  let end = half;
  let overMould = 0;
  for (let out = half + 2; out < reach && out - end <= gapPx; out++) {
    const row = rowAt(image, plate, side, out);
    if (!row) break;
    const beside = Math.max(...row.beside);
    if (row.throughout - beside < leastOfStep * step) {
      // Beyond a die the bare pad comes before the arm on which the pad hangs; a clip goes on at once.
      if (out < half + besidePx[1]) return null;
      continue;
    }
    end = out;
    if (beside < levels.between && row.throughout - beside > leastOfStep * frame) overMould++;
  }
  return overMould >= leastOverMould * body.widthPx ? end : null;
}

/** What a plate adds to what lies beside it along the two sides that run on, attenuation. */
function stepOf(image: Image, plate: OrientedRectangle, side: number): number {
  const half = (side % 2 === 0 ? plate.lengthPx : plate.widthPx) / 2;
  const steps: number[] = [];
  for (let out = -0.8 * half; out <= 0.8 * half; out += 2) {
    const row = rowAt(image, plate, side, out);
    if (row) for (const level of row.beside) steps.push(row.under - level);
  }
  return steps.length ? median(steps) : 0;
}

/** One row across a plate, `out` px from its middle towards a side: what is seen under it and beside either end. */
function rowAt(image: Image, plate: OrientedRectangle, side: number, out: number) {
  const angle = plate.angleRad + (side * Math.PI) / 2;
  const half = (side % 2 === 0 ? plate.widthPx : plate.lengthPx) / 2;
  const [c, s] = [Math.cos(angle), Math.sin(angle)];
  const at = (across: number): number => {
    const point: PointPx = [
      plate.centrePx[0] + c * out - s * across,
      plate.centrePx[1] + s * out + c * across,
    ];
    return valueAt(image, point);
  };
  const between = (from: number, to: number): number => {
    const values: number[] = [];
    for (let across = from; across <= to; across++) values.push(at(across));
    return median(values);
  };
  const [near, far] = besidePx;
  const under = between(near - half, half - near);
  const throughout = Math.min(under, between(near - half, far - half), between(half - far, half - near));
  const beside = [between(-half - far, -half - near), between(half + near, half + far)];
  return [throughout, ...beside].every(Number.isFinite) ? { under, throughout, beside } : null;
}

function valueAt({ width, height, data }: Image, [x, y]: PointPx): number {
  const [i, j] = [Math.round(x), Math.round(y)];
  return i < 0 || j < 0 || i >= width || j >= height ? Number.NaN : (data[j * width + i] as number);
}

/** The rectangle with one side moved out to `endPx` from where its middle was. */
function lengthened(plate: OrientedRectangle, side: number, endPx: number): OrientedRectangle {
  const along = side % 2 === 0;
  const size = along ? plate.lengthPx : plate.widthPx;
  const by = (endPx - size / 2) / 2;
  const angle = plate.angleRad + (side * Math.PI) / 2;
  return {
    ...plate,
    centrePx: [plate.centrePx[0] + by * Math.cos(angle), plate.centrePx[1] + by * Math.sin(angle)],
    lengthPx: along ? plate.lengthPx + 2 * by : plate.lengthPx,
    widthPx: along ? plate.widthPx : plate.widthPx + 2 * by,
  };
}
