/** Standard normal distribution function, by Abramowitz and Stegun 7.1.26 (from memory; within 1e-7, tested). */
export function normalShare(z: number): number {
  const x = Math.abs(z) / Math.SQRT2;
  const t = 1 / (1 + 0.3275911 * x);
  const poly =
    t * (0.254829592 + t * (-0.284496736 + t * (1.421413741 + t * (-1.453152027 + t * 1.061405429))));
  const erf = 1 - poly * Math.exp(-x * x);
  return z >= 0 ? 0.5 * (1 + erf) : 0.5 * (1 - erf);
}

/** What rises by 1 a pixel from 0 on, seen through a Gaussian blur. */
export function blurredRamp(x: number, sigmaPx: number): number {
  const z = x / sigmaPx;
  return x * normalShare(z) + (sigmaPx * Math.exp(-0.5 * z * z)) / Math.sqrt(2 * Math.PI);
}

const stepPx = 0.1;
/** Falls beyond the step that are tried, as a share of it a pixel: from a plain step to a fillet two pixels wide. */
const fallsPerPx = [0, 0.05, 0.1, 0.15, 0.2, 0.25, 0.3, 0.4, 0.5];

/**
 * Where a level ends in a profile: a step up or down, falling back from there on at any rate, both blurred. A fillet
 * that tapers off is seen lower than it stands at the wall, so that half-way up to what is seen of it lies inside.
 * Read up to where the profile is furthest from its level.
 *
 * @param values the profile at `places`, px outwards
 * @returns px from 0 to the edge, or null where no edge within `searchPx` explains the profile best
 */
export function edgeUnderTaper(
  places: readonly number[],
  values: readonly number[],
  sigmaPx: number,
  searchPx: readonly [number, number],
): number | null {
  const { best, squaresAt, first, last } = bestTaper(places, values, sigmaPx, searchPx);
  if (best.k === first || best.k === last) return null;
  const before = squaresAt(best.k - 1, best.fall);
  const after = squaresAt(best.k + 1, best.fall);
  const bend = before - 2 * best.squares + after;
  return stepPx * (best.k + (bend > 0 ? (0.5 * (before - after)) / bend : 0));
}

/** How badly the best such edge explains a profile: squares left, as a share of its furthest departure squared. */
export function taperMisfit(
  places: readonly number[],
  values: readonly number[],
  sigmaPx: number,
  searchPx: readonly [number, number],
): number {
  const { best, furthest } = bestTaper(places, values, sigmaPx, searchPx);
  return furthest > 0 ? best.squares / furthest ** 2 : 0;
}

/** Step place (of `stepPx`) and fall beyond it that leave the least squares up to where the profile is furthest from its level. */
function bestTaper(
  places: readonly number[],
  values: readonly number[],
  sigmaPx: number,
  searchPx: readonly [number, number],
) {
  const level = ((values[0] as number) + (values[1] as number) + (values[2] as number)) / 3;
  const off = values.map((v, i) =>
    Math.abs(places[i] as number) <= searchPx[1] + 1 ? Math.abs(v - level) : 0,
  );
  const furthest = Math.max(...off);
  const upTo = places.slice(0, off.indexOf(furthest) + 1);
  const squaresAt = (k: number, fall: number) => squaresLeft(upTo, values, k * stepPx, fall, sigmaPx);
  const [first, last] = searchPx.map((px) => Math.round(px / stepPx)) as [number, number];
  let best = { k: first, fall: 0, squares: Number.POSITIVE_INFINITY };
  for (const fall of fallsPerPx) {
    for (let k = first; k <= last; k++) {
      const squares = squaresAt(k, fall);
      if (squares < best.squares) best = { k, fall, squares };
    }
  }
  return { best, squaresAt, first, last, furthest };
}

/** Squares left when level and step are fitted by least squares at a held place and fall. */
function squaresLeft(
  places: readonly number[],
  values: readonly number[],
  at: number,
  fall: number,
  sigmaPx: number,
): number {
  const shape = places.map((p) => normalShare((p - at) / sigmaPx) - fall * blurredRamp(p - at, sigmaPx));
  const n = places.length;
  let [sx, sy, sxx, sxy, syy] = [0, 0, 0, 0, 0];
  for (let i = 0; i < n; i++) {
    const [x, y] = [shape[i] as number, values[i] as number];
    sx += x;
    sy += y;
    sxx += x * x;
    sxy += x * y;
    syy += y * y;
  }
  const vxx = sxx - (sx * sx) / n;
  const vxy = sxy - (sx * sy) / n;
  return syy - (sy * sy) / n - (vxx > 0 ? (vxy * vxy) / vxx : 0);
}

/** Walls and widths of thin fillets that are tried, px. */
const thinWallsPx = Array.from({ length: 34 }, (_, i) => 0.1 * i - 2.8);
const thinWidthsPx = [0.5, 0.8, 1.1, 1.4, 1.7, 2, 2.5, 3];
/** Fits count as good up to this times the best one's rms, or this share of the fall. */
const nearlyBest = 1.5;
const goodShare = 0.02;

/**
 * Where a level ends under a fillet narrower than the blur: it is seen as a low rise before the fall from the level to
 * what lies beyond, and half-way down that fall lies outside of the wall. Level, fillet and beyond are fitted by least
 * squares at each wall and width; height and width of so thin a fillet are not told apart, so that a range is left.
 *
 * @param values the profile at `places`, px outwards, falling at 0; read as far as it is even beyond
 * @returns px from 0 to the middle of the walls that explain the profile well, and half their range; or null where none does
 */
export function edgeUnderThinFillet(
  places: readonly number[],
  values: readonly number[],
  sigmaPx: number,
): { at: number; halfRangePx: number } | null {
  const level = ((values[0] as number) + (values[1] as number) + (values[2] as number)) / 3;
  const end = endOfFall(places, values, level);
  const x = places.slice(0, end);
  const y = values.slice(0, end);
  const fits: { wall: number; rms: number; fall: number }[] = [];
  for (const wall of thinWallsPx) {
    const beyond = x.map((p) => normalShare((p - wall) / sigmaPx));
    for (const width of thinWidthsPx) {
      const taper = x.map(
        (p, i) =>
          (beyond[i] as number) -
          (blurredRamp(p - wall, sigmaPx) - blurredRamp(p - wall - width, sigmaPx)) / width,
      );
      const fitted = fittedSum([beyond.map((b) => 1 - b), beyond, taper], y);
      if (!fitted) continue;
      const [inside, outside, over] = fitted.shares as [number, number, number];
      // A fillet lower than the level would be part of the fall.
      if (over + outside < inside || outside >= inside) continue;
      fits.push({ wall, rms: fitted.rms, fall: inside - outside });
    }
  }
  if (!fits.length) return null;
  const best = fits.reduce((p, q) => (q.rms < p.rms ? q : p));
  const most = Math.max(nearlyBest * best.rms, goodShare * best.fall);
  const walls = fits.filter(({ rms }) => rms <= most).map(({ wall }) => wall);
  const [first, last] = [Math.min(...walls), Math.max(...walls)];
  return { at: (first + last) / 2, halfRangePx: (last - first) / 2 };
}

/** How many places from the first on to read: a px on from where the fall beyond 0 has come to rest. */
function endOfFall(places: readonly number[], values: readonly number[], level: number): number {
  const from = places.findIndex((p) => p >= 0);
  for (let i = from; i + 1 < values.length; i++) {
    const fallen = level - (values[i] as number);
    if (fallen > 0 && (values[i] as number) - (values[i + 1] as number) < 0.06 * fallen)
      return Math.min(values.length, i + 3);
  }
  return Math.min(values.length, from + 6);
}

/** Least squares of three shapes onto values, by the normal equations (Cramer); null where the shapes are not independent. */
function fittedSum(shapes: readonly (readonly number[])[], values: readonly number[]) {
  const dot = (p: readonly number[], q: readonly number[]) =>
    p.reduce((sum, v, i) => sum + v * (q[i] as number), 0);
  const m = shapes.map((p) => shapes.map((q) => dot(p, q)));
  const y = shapes.map((p) => dot(p, values));
  const of = (k: number) => {
    const column = (i: number, j: number) => (j === k ? (y[i] as number) : ((m[i] as number[])[j] as number));
    return (
      column(0, 0) * (column(1, 1) * column(2, 2) - column(1, 2) * column(2, 1)) -
      column(0, 1) * (column(1, 0) * column(2, 2) - column(1, 2) * column(2, 0)) +
      column(0, 2) * (column(1, 0) * column(2, 1) - column(1, 1) * column(2, 0))
    );
  };
  const whole = of(-1);
  if (!(Math.abs(whole) > 1e-9)) return null;
  const shares = [0, 1, 2].map((k) => of(k) / whole);
  let squares = 0;
  for (let i = 0; i < values.length; i++) {
    let sum = 0;
    for (let k = 0; k < 3; k++) sum += (shares[k] as number) * ((shapes[k] as number[])[i] as number);
    squares += (sum - (values[i] as number)) ** 2;
  }
  return { shares, rms: Math.sqrt(squares / values.length) };
}

/** Blur of a plain step, from where its profile passes 16 and 84 % of the way; null where it does not. */
export function stepBlurPx(places: readonly number[], values: readonly number[]): number | null {
  const last = values.length - 1;
  const inner = ((values[0] as number) + (values[1] as number)) / 2;
  const outer = ((values[last] as number) + (values[last - 1] as number)) / 2;
  const at = (share: number): number | null => {
    const level = inner + share * (outer - inner);
    const sign = Math.sign(outer - inner);
    for (let i = 1; i <= last; i++) {
      const [p, q] = [values[i - 1] as number, values[i] as number];
      if (sign * (p - level) <= 0 && sign * (q - level) > 0)
        return (
          (places[i - 1] as number) +
          ((level - p) / (q - p)) * ((places[i] as number) - (places[i - 1] as number))
        );
    }
    return null;
  };
  const [low, high] = [at(normalShare(-0.5)), at(normalShare(0.5))];
  return low === null || high === null ? null : Math.abs(high - low);
}
