import type { Image } from "../../numeric/image.ts";
import { solveSymmetric } from "../../numeric/solve.ts";

/** value' = offset + gain * value + bend * value^2: how attenuation at one exposure or kV reads at another. */
export interface Tone {
  readonly offset: number;
  readonly gain: number;
  readonly bend: number;
}

/**
 * Fits the tone that takes `image` to `reference`, both in the frame. Reweighted least squares (Tukey), so that
 * places where the part really differs do not bend the curve; three parameters only, so that a missing die cannot
 * be explained away as exposure.
 *
 * @see docs/methods/lot.md for why attenuation at two kV is related by a smooth curve per material class
 */
export function matchTone(image: Image, reference: Image): Tone {
  const pairs = calmPixels(image, reference);
  const n = pairs.length / 2;
  let tone: Tone = { offset: 0, gain: 1, bend: 0 };
  if (n < 30) return tone;
  let scale = Number.POSITIVE_INFINITY;
  for (let round = 0; round < 8; round++) {
    const h = new Float64Array(9);
    const g = new Float64Array(3);
    for (let k = 0; k < n; k++) {
      const v = pairs[2 * k] as number;
      const r = pairs[2 * k + 1] as number;
      const t = (r - applyTone(tone, v)) / (4 * scale);
      const w = scale === Number.POSITIVE_INFINITY ? 1 : Math.max(0, 1 - t * t) ** 2;
      const basis = [1, v, v * v];
      for (let a = 0; a < 3; a++) {
        g[a] = (g[a] as number) + w * (basis[a] as number) * r;
        for (let b = 0; b < 3; b++)
          h[3 * a + b] = (h[3 * a + b] as number) + w * (basis[a] as number) * (basis[b] as number);
      }
    }
    for (let a = 0; a < 3; a++) h[4 * a] = (h[4 * a] as number) + 1e-6;
    let p: Float64Array;
    try {
      p = solveSymmetric(h, g);
    } catch {
      return tone;
    }
    tone = { offset: p[0] as number, gain: p[1] as number, bend: p[2] as number };
    const residuals = new Float64Array(n);
    for (let k = 0; k < n; k++)
      residuals[k] = Math.abs((pairs[2 * k + 1] as number) - applyTone(tone, pairs[2 * k] as number));
    residuals.sort();
    scale = Math.max(1e-3, 1.4826 * (residuals[n >> 1] as number));
  }
  return tone;
}

export function applyTone(tone: Tone, value: number): number {
  return tone.offset + value * (tone.gain + value * tone.bend);
}

/** A new image with the tone applied. */
export function toned(image: Image, tone: Tone): Image {
  return { width: image.width, height: image.height, data: image.data.map((v) => applyTone(tone, v)) };
}

/** Pairs (image, reference) at pixels where the reference is nearly flat, so that misregistration does not count. */
function calmPixels(image: Image, reference: Image): Float64Array {
  const { width, height, data } = reference;
  const steep: { i: number; g: number }[] = [];
  for (let y = 1; y < height - 1; y += 2) {
    for (let x = 1; x < width - 1; x += 2) {
      const i = y * width + x;
      const g =
        Math.abs((data[i + 1] as number) - (data[i - 1] as number)) +
        Math.abs((data[i + width] as number) - (data[i - width] as number));
      if (g === g && image.data[i] === image.data[i]) steep.push({ i, g });
    }
  }
  steep.sort((p, q) => p.g - q.g);
  const kept = steep.slice(0, Math.ceil(0.6 * steep.length));
  const pairs = new Float64Array(2 * kept.length);
  kept.forEach(({ i }, k) => {
    pairs[2 * k] = image.data[i] as number;
    pairs[2 * k + 1] = data[i] as number;
  });
  return pairs;
}
