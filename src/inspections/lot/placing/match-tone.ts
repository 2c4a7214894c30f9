import type { Image } from "../../../numeric/image.ts";
import { madsPerSigma, median, quantile } from "../../../numeric/order.ts";
import { solveSymmetric } from "../../../numeric/solve.ts";

/** value' = offset + gain * value + bend * value^2: how attenuation at one exposure or kV reads at another. */
export interface Tone {
  readonly offset: number;
  readonly gain: number;
  readonly bend: number;
}

/** What may differ between two pictures: the whole curve, or the unknown offset of pictures without open beam. */
export type ToneFreedom = "curve" | "offset";

/** Between tube voltages of board and component work attenuation changes by less than this factor (common practice). */
const mostGain = 4;

/**
 * Fits the tone that takes `image` to `reference`, both in the frame. Reweighted least squares (Tukey), so that
 * places where the part really differs do not bend the curve; three parameters only, so that a missing die cannot
 * be explained away as exposure. Where the curve comes out as no exposure could make it (falling, or steeper than
 * `mostGain`) only the offset is fitted.
 *
 * @see docs/methods/lot.md for why attenuation at two kV is related by a smooth curve per material class
 */
export function matchTone(image: Image, reference: Image, freedom: ToneFreedom = "curve"): Tone {
  const pairs = calmPixels(image, reference);
  if (freedom === "offset") return fitTone(pairs, offsetFit);
  const tone = fitTone(pairs, curveFit, widestScale * spanOf(pairs), 10);
  return isExposure(tone, pairs) ? tone : fitTone(pairs, offsetFit);
}

/**
 * Share of the values' range that counts as scatter after the first fit; half of it after each further one. Where most
 * pixels are mould, all metal is far off the first curve in units of the mould's own scatter: cut off at once, it would
 * never be fitted.
 */
const widestScale = 0.2;

/** Range of the values that are fitted to, their tails left out. */
function spanOf(pairs: Float64Array): number {
  const values = pairs.filter((_, i) => i % 2 === 1);
  return values.length ? quantile(values, 0.98) - quantile(values, 0.02) : 0;
}

type ToneFit = (pairs: Float64Array, tone: Tone, scale: number) => Tone | null;

/** @param widest scatter that counts after the first fit at least; half of it after each further one */
function fitTone(pairs: Float64Array, fitOnce: ToneFit, widest = 0, rounds = 6): Tone {
  const n = pairs.length / 2;
  let tone: Tone = { offset: 0, gain: 1, bend: 0 };
  if (n < 30) return tone;
  let scale = Number.POSITIVE_INFINITY;
  const residuals = new Float64Array(n);
  for (let round = 0; round < rounds; round++) {
    const next = fitOnce(pairs, tone, scale);
    if (!next) return tone;
    tone = next;
    for (let k = 0; k < n; k++) {
      residuals[k] = Math.abs((pairs[2 * k + 1] as number) - applyTone(tone, pairs[2 * k] as number));
    }
    scale = Math.max(1e-3, madsPerSigma * median(residuals), widest / 2 ** round);
  }
  return tone;
}

/** Whether the curve rises by a plausible gain over the middle nine tenths of the values it was fitted to. */
function isExposure(tone: Tone, pairs: Float64Array): boolean {
  const values = pairs.filter((_, i) => i % 2 === 0);
  if (!values.length) return true;
  const slope = (v: number) => tone.gain + 2 * tone.bend * v;
  const slopes = [slope(quantile(values, 0.05)), slope(quantile(values, 0.95))];
  return Math.min(...slopes) > 1 / mostGain && Math.max(...slopes) < mostGain;
}

/** Middle of the differences that Tukey's weights keep. */
function offsetFit(pairs: Float64Array, tone: Tone, scale: number): Tone | null {
  let [weights, sum] = [0, 0];
  const differences: number[] = [];
  const cut = 4 * scale;
  for (let k = 0; k < pairs.length; k += 2) {
    const difference = (pairs[k + 1] as number) - (pairs[k] as number);
    if (cut === Number.POSITIVE_INFINITY) differences.push(difference);
    const t = (difference - tone.offset) / cut;
    const inside = 1 - t * t;
    if (inside <= 0) continue;
    weights += inside * inside;
    sum += inside * inside * difference;
  }
  if (differences.length) return { offset: median(differences), gain: 1, bend: 0 };
  return weights > 0 ? { offset: sum / weights, gain: 1, bend: 0 } : null;
}

/** One least-squares fit with Tukey weights about the present tone. */
function curveFit(pairs: Float64Array, tone: Tone, scale: number): Tone | null {
  let [s0, s1, s2, s3, s4, g0, g1, g2] = [0, 0, 0, 0, 0, 0, 0, 0];
  const cut = 4 * scale;
  for (let k = 0; k < pairs.length; k += 2) {
    const v = pairs[k] as number;
    const r = pairs[k + 1] as number;
    let w = 1;
    if (cut < Number.POSITIVE_INFINITY) {
      const t = (r - applyTone(tone, v)) / cut;
      const inside = 1 - t * t;
      if (inside <= 0) continue;
      w = inside * inside;
    }
    const wv = w * v;
    const wvv = wv * v;
    s0 += w;
    s1 += wv;
    s2 += wvv;
    s3 += wvv * v;
    s4 += wvv * v * v;
    g0 += w * r;
    g1 += wv * r;
    g2 += wvv * r;
  }
  const ridge = 1e-6;
  try {
    const p = solveSymmetric(
      Float64Array.of(s0 + ridge, s1, s2, s1, s2 + ridge, s3, s2, s3, s4 + ridge),
      Float64Array.of(g0, g1, g2),
    );
    return { offset: p[0] as number, gain: p[1] as number, bend: p[2] as number };
  } catch {
    return null;
  }
}

export function applyTone(tone: Tone, value: number): number {
  return tone.offset + value * (tone.gain + value * tone.bend);
}

/** The value that the tone takes to `value`: of the two of a bent tone the one on its rising branch. */
export function unapplyTone({ offset, gain, bend }: Tone, value: number): number {
  const by = value - offset;
  const root = gain ** 2 + 4 * bend * by;
  // Beyond the crest nothing is taken there: the crest is nearest.
  return (2 * by) / (gain + Math.sqrt(Math.max(0, root)));
}

/** A new image with the tone applied. */
export function toned(image: Image, tone: Tone): Image {
  const data = image.data.slice();
  for (let i = 0; i < data.length; i++) data[i] = applyTone(tone, data[i] as number);
  return { width: image.width, height: image.height, data };
}

/** Pairs (image, reference) at the calmer 60 % of every other pixel, so that misregistration does not count. */
function calmPixels(image: Image, reference: Image): Float64Array {
  const { width, height, data } = reference;
  const half = (Math.floor((width - 1) / 2) + 1) * (Math.floor((height - 1) / 2) + 1);
  const at = new Int32Array(half);
  const steep = new Float32Array(half);
  let n = 0;
  for (let y = 1; y < height - 1; y += 2) {
    for (let x = 1; x < width - 1; x += 2) {
      const i = y * width + x;
      const g =
        Math.abs((data[i + 1] as number) - (data[i - 1] as number)) +
        Math.abs((data[i + width] as number) - (data[i - width] as number));
      if (Number.isNaN(g) || Number.isNaN(image.data[i])) continue;
      at[n] = i;
      steep[n++] = g;
    }
  }
  if (!n) return new Float64Array(0);
  const limit = quantile(steep.subarray(0, n), 0.6);
  const pairs = new Float64Array(2 * n);
  let k = 0;
  for (let j = 0; j < n; j++) {
    if ((steep[j] as number) > limit) continue;
    pairs[k++] = image.data[at[j] as number] as number;
    pairs[k++] = data[at[j] as number] as number;
  }
  return pairs.subarray(0, k);
}
