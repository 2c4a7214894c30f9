import type { ClipLevels } from "./clipping.ts";
import type { GreyNoise } from "./noise.ts";
import type { ReducedPicture } from "./reduced-picture.ts";

/**
 * What a picture shows about its polarity. Each cue runs from -1 (dense is bright) over 0 (says
 * nothing) to 1 (dense is dark).
 */
export interface PolarityCues {
  /** Photon noise: its variance grows with transmission. */
  readonly noise: number;
  /** Open beam: the smooth rim of the picture lies at the bright or at the dark end. */
  readonly background: number;
  /** The rarer, far-reaching tail of the greys is the dense one. */
  readonly tail: number;
}

/** Share of the grey range, from either end, in which open beam is looked for. */
const END_SHARE = 0.15;
/** Largest step between neighbouring cells, as a share of the grey range, inside open beam. */
const SMOOTH_SHARE = 0.04;

/** Measures all cues; `reduced` may be coarse (256 cells along the longer side are enough). */
export function polarityCues(reduced: ReducedPicture, noise: GreyNoise, clip: ClipLevels): PolarityCues {
  const sorted = Float64Array.from(reduced.mean.filter((v) => v === v)).sort();
  if (sorted.length < 16) return { noise: 0, background: 0, tail: 0 };
  const low = at(sorted, 0.005);
  const high = at(sorted, 0.995);
  const range = high - low;
  if (!(range > 0)) return { noise: 0, background: 0, tail: 0 };
  const middle = at(sorted, 0.5);
  return {
    noise: noiseCue(noise),
    background: backgroundCue(reduced, low, high, clip),
    tail: clamp((2 * middle - low - high) / range),
  };
}

/** Rank agreement of noise variance with grey, weighed by how much the variance really changes. */
export function noiseCue(noise: GreyNoise): number {
  const bins = noise.bins.filter((bin) => bin.variance > 2 * noise.floor);
  if (bins.length < 4) return 0;
  let concordant = 0;
  let total = 0;
  for (let i = 0; i < bins.length; i++) {
    for (let j = i + 1; j < bins.length; j++) {
      const p = bins[i] as GreyNoise["bins"][number];
      const q = bins[j] as GreyNoise["bins"][number];
      const weight = Math.sqrt(Math.min(p.blocks, 50) * Math.min(q.blocks, 50)) * (q.grey - p.grey);
      concordant += weight * clamp((q.variance - p.variance) / (0.25 * (q.variance + p.variance)));
      total += weight;
    }
  }
  return total > 0 ? concordant / total : 0;
}

function backgroundCue(reduced: ReducedPicture, low: number, high: number, clip: ClipLevels): number {
  const { width, height, mean } = reduced;
  const rim = Math.max(1, Math.round(0.02 * Math.min(width, height)));
  const range = high - low;
  const brightEnd = clip.high ?? high;
  let bright = 0;
  let dark = 0;
  let cells = 0;
  for (let y = 0; y < height; y++) {
    for (let x = 0; x < width; x++) {
      if (x >= rim && x < width - rim && y >= rim && y < height - rim) continue;
      const v = mean[y * width + x] as number;
      if (v !== v) continue;
      cells++;
      if (Math.abs(v - (mean[y * width + Math.max(0, x - 1)] as number)) > SMOOTH_SHARE * range) continue;
      if (Math.abs(v - (mean[Math.max(0, y - 1) * width + x] as number)) > SMOOTH_SHARE * range) continue;
      if (v > Math.min(brightEnd, high) - END_SHARE * range) bright++;
      else if (v < low + END_SHARE * range) dark++;
    }
  }
  return cells === 0 ? 0 : (bright - dark) / cells;
}

function at(sorted: Float64Array, share: number): number {
  return sorted[Math.round(share * (sorted.length - 1))] as number;
}

function clamp(v: number): number {
  return Math.max(-1, Math.min(1, v));
}
