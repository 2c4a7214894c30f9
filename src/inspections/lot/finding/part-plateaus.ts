import type { Image } from "../../../numeric/image.ts";
import { median, quantile } from "../../../numeric/order.ts";
import { partAtGaps } from "./part-gaps.ts";
import type { Plateau } from "./part-levels.ts";
import { cutAtLevel, findPlateaus, rectangleShare } from "./part-levels.ts";

const leastOpenBorder = 0.3;
/** A lead frame whose mould does not show fills less of its rectangle than a body with leads. */
const leastRectangularity = 0.4;

/**
 * Plateaus of a reduced picture whose pieces may be parts, from the most transparent upwards; none where the picture
 * shows no open field around them.
 *
 * @param noise standard deviation of the reduced picture's noise in open field, as fitted
 * @param leastAreaPx area of the smallest part
 */
export function standingPlateaus(reduced: Image, noise: number, leastAreaPx: number): Plateau[] {
  const sigma = Math.min(noise, grain(reduced));
  if (openBorder(reduced, sigma) < leastOpenBorder) return [];
  const plateaus = takenApart(reduced, findPlateaus(reduced, sigma), leastAreaPx).filter(
    (p) =>
      isWide(p) && p.solidity > 0.9 && p.rectangularity > leastRectangularity && p.unitAreaPx > leastAreaPx,
  );
  return plateaus.filter(
    (p, i) =>
      !isPocket(reduced, p, plateaus.slice(i + 1)) &&
      !isTray(p, plateaus.slice(i + 1)) &&
      !insideSomethingLarger(reduced, p),
  );
}

/**
 * Standard deviation of what varies from pixel to pixel, from the calmest twentieth of those that vary at all. Where
 * little open field is seen, the noise fitted to it may be many times too much.
 */
function grain({ width, height, data }: Image): number {
  const off = new Float64Array(data.length);
  let count = 0;
  for (let y = 1; y < height - 1; y++) {
    for (let x = 1; x < width - 1; x++) {
      const i = y * width + x;
      const around =
        ((data[i - 1] as number) +
          (data[i + 1] as number) +
          (data[i - width] as number) +
          (data[i + width] as number)) /
        4;
      const d = Math.abs((data[i] as number) - around);
      if (d > 0) off[count++] = d;
    }
  }
  // A twentieth of a normal distribution lies within 0.0627 sigma; four neighbours' mean adds a quarter of its variance.
  return count
    ? quantile(off.subarray(0, count), 0.05) / (0.0627 * Math.sqrt(1.25))
    : Number.POSITIVE_INFINITY;
}

/** Levels over a factor of 1.4 show the same pieces. */
const isWide = (p: Plateau): boolean => Math.log(p.to / p.from) > 0.35;

/**
 * The plateaus with touching parts taken apart. The most transparent plateau that holds over a wide enough range is
 * that of the bodies; what comes apart at denser ones is inside them. Where a denser one shows as many parts standing
 * free, and hardly smaller, what joined them is no part of them: a tray's walls.
 */
function takenApart(reduced: Image, plateaus: readonly Plateau[], leastAreaPx: number): Plateau[] {
  const bodies = plateaus.find((p) => isWide(p) && p.unitAreaPx > leastAreaPx);
  const parted = bodies && partAtGaps(reduced, Math.sqrt(bodies.from * bodies.to));
  const free = (p: Plateau) =>
    p !== bodies &&
    isWide(p) &&
    p.solidity > 0.9 &&
    p.count >= 0.9 * (parted?.count ?? 0) &&
    p.unitAreaPx > 0.6 * (parted?.unitAreaPx ?? 0);
  if (!parted || plateaus.some(free)) return [...plateaus];
  const { cut, parts, count, unitAreaPx } = parted;
  const whole = parts.filter((q) => !q.touchesBorder);
  const rectangularity = median(whole.map((q) => rectangleShare(cut, q)));
  const apart = { ...bodies, count, unitAreaPx, solidity: 1, rectangularity, touching: true };
  return plateaus.map((p) => (p === bodies ? apart : p));
}

/**
 * Whether a plateau's pieces are features of something larger that the picture cuts (a die pad in a part that
 * fills the field): at half their level they melt, most of them, into one solid piece that runs out of the
 * picture and is more than twice as large as all that stands free.
 */
function insideSomethingLarger(reduced: Image, plateau: Plateau): boolean {
  const { units, pieces: standing } = cutAtLevel(reduced, plateau.from);
  const around = cutAtLevel(reduced, 0.5 * Math.sqrt(plateau.from * plateau.to));
  const pieces = new Map(around.pieces.map((p) => [p.label, p]));
  const freePx = standing.reduce((sum, p) => sum + (p.touchesBorder ? 0 : p.filledPx), 0);
  const melted = units.filter((u) => {
    const at = Math.round(u.centroidPx[1]) * reduced.width + Math.round(u.centroidPx[0]);
    const piece = pieces.get(around.labels[at] as number);
    return piece?.touchesBorder && piece.areaPx > 0.9 * piece.filledPx && piece.areaPx > 2 * freePx;
  });
  return melted.length > 0.5 * units.length;
}

/**
 * Share of the picture's border that is open field. Parts stand apart only where the field around them is
 * seen; a picture wholly inside a part or a board has no such border.
 */
function openBorder({ width, height, data }: Image, noise: number): number {
  const level = Math.max(6 * noise, 0.08 * quantile(data, 0.985));
  let open = 0;
  const look = (i: number) => {
    if ((data[i] as number) < level) open++;
  };
  for (let x = 0; x < width; x++) {
    look(x);
    look((height - 1) * width + x);
  }
  for (let y = 0; y < height; y++) {
    look(y * width);
    look(y * width + width - 1);
  }
  return open / (2 * (width + height));
}

/**
 * A tray pocket or a tape floor encloses each part one to one and is far more transparent
 * (a tenth of the part's own level or less: common practice).
 */
function isPocket(reduced: Image, outer: Plateau, denser: readonly Plateau[]): boolean {
  return denser.some(
    (inner) =>
      Math.abs(inner.count - outer.count) <= 0.1 * outer.count &&
      inner.unitAreaPx < 0.85 * outer.unitAreaPx &&
      inner.unitAreaPx > 0.2 * outer.unitAreaPx &&
      outer.to < 0.12 * inner.to &&
      !standsAmongLeads(reduced, inner),
  );
}

/** A die pad has its part's leads around it, each by itself; a part in its pocket has nothing. */
const fewestLeads = 4;

function standsAmongLeads(reduced: Image, inner: Plateau): boolean {
  const { pieces, units } = cutAtLevel(reduced, Math.sqrt(inner.from * inner.to));
  const beside = pieces.filter((p) => p.areaPx >= leastLeadPx && !units.includes(p)).length;
  return beside >= fewestLeads * units.length;
}

/** Area of the smallest lead that is told from a speck. */
const leastLeadPx = 9;

/**
 * A tray's walls around all its pockets make one solid piece: at a denser plateau it falls into three or more equal
 * compact pieces that hold at least half of it. So do parts that touch; of any outline where they hold nearly all. (The leads and the pad inside one body hold less, or are not equal.)
 */
function isTray(outer: Plateau, denser: readonly Plateau[]): boolean {
  return denser.some((inner) => {
    const share = inner.unitAreaPx / outer.unitAreaPx;
    const times = inner.count / outer.count;
    if (times >= 2 && share * times > 0.75) return true;
    return times >= 3 && share > 0.02 && share * times > 0.5 && inner.rectangularity > 0.7;
  });
}
