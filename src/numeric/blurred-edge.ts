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
  const level = ((values[0] as number) + (values[1] as number) + (values[2] as number)) / 3;
  const off = values.map((v, i) =>
    Math.abs(places[i] as number) <= searchPx[1] + 1 ? Math.abs(v - level) : 0,
  );
  const end = off.indexOf(Math.max(...off)) + 1;
  const upTo = places.slice(0, end);
  let best: { k: number; fall: number; squares: number } | null = null;
  const squaresAt = (k: number, fall: number) => squaresLeft(upTo, values, k * stepPx, fall, sigmaPx);
  const [first, last] = searchPx.map((px) => Math.round(px / stepPx)) as [number, number];
  for (const fall of fallsPerPx) {
    for (let k = first; k <= last; k++) {
      const squares = squaresAt(k, fall);
      if (!best || squares < best.squares) best = { k, fall, squares };
    }
  }
  if (!best || best.k === first || best.k === last) return null;
  const before = squaresAt(best.k - 1, best.fall);
  const after = squaresAt(best.k + 1, best.fall);
  const bend = before - 2 * best.squares + after;
  return stepPx * (best.k + (bend > 0 ? (0.5 * (before - after)) / bend : 0));
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
