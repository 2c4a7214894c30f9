import { cellQuantiles } from "./cell-quantiles.ts";
import { naturalLog } from "./natural-log.ts";
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
  /** Greys reach further towards the dense end: dense things are small and strong, thin ones wide and weak. */
  readonly tail: number;
}

/** Share of the grey range, from either end, in which open beam is looked for. */
const END_SHARE = 0.15;
/** Largest step between neighbouring cells, as a share of the grey range, inside open beam. */
const SMOOTH_SHARE = 0.04;
/** Width of the rim searched, as a share of the shorter side. */
const RIM_SHARE = 0.02;
/** Bins this near the rounding floor say nothing about photons. */
const FLOOR_FACTOR = 1.5;
/** Least span of flat greys, as a share of the larger. */
const LEAST_SPAN = 0.1;
/** A bin lies on the noise line within this share. */
const LINE_TOLERANCE = 0.25;
/** Flat blocks needed, as a share of all, for the noise to count in full. */
const ENOUGH_FLAT = 0.1;
/** Blocks beyond which a bin has no more say. */
const BIN_SAY = 200;

export function polarityCues(reduced: ReducedPicture, noise: GreyNoise): PolarityCues {
  const [low, middle, high] = cellQuantiles(reduced.mean, [0.005, 0.5, 0.995]);
  const range = high - low;
  if (!(range > 0)) return { noise: 0, background: 0, tail: 0 };
  return {
    noise: noiseCue(noise),
    background: backgroundCue(reduced, low, high),
    tail: clamp((2 * middle - low - high) / range),
  };
}

/**
 * Change of the fitted noise variance over the flat bins, in full at a factor of two, as far as the
 * line `a + b * grey` really describes them: texture doesn't follow it, photon noise does. Nothing is
 * said when the flat greys span too little for photon noise to change.
 */
export function noiseCue(noise: GreyNoise): number {
  const bins = noise.bins.filter((bin) => bin.flat && bin.variance > FLOOR_FACTOR * noise.floor);
  if (bins.length < 2) return 0;
  const first = bins[0].grey;
  const last = bins[bins.length - 1].grey;
  if (last - first < LEAST_SPAN * Math.max(Math.abs(first), Math.abs(last))) return 0;
  const at = (grey: number): number => noise.a + noise.b * grey;
  const least = 1e-3 * Math.max(at(first), at(last), 1e-12);
  let all = 0;
  let flat = 0;
  let said = 0;
  let described = 0;
  for (const bin of noise.bins) all += bin.blocks;
  for (const bin of bins) {
    flat += bin.blocks;
    said += Math.min(bin.blocks, BIN_SAY);
    const fitted = at(bin.grey);
    if (Math.abs(bin.variance - fitted) <= LINE_TOLERANCE * fitted)
      described += Math.min(bin.blocks, BIN_SAY);
  }
  const trust = clamp((described / said - 0.4) / 0.4) * Math.min(1, flat / (ENOUGH_FLAT * all));
  const change = naturalLog(Math.max(at(last), least) / Math.max(at(first), least)) / Math.LN2;
  return Math.max(0, trust) * clamp(change);
}

function backgroundCue(reduced: ReducedPicture, low: number, high: number): number {
  const { width, height, mean } = reduced;
  const rim = Math.max(1, Math.round(RIM_SHARE * Math.min(width, height)));
  const range = high - low;
  let bright = 0;
  let dark = 0;
  let cells = 0;
  for (let y = 0; y < height; y++) {
    const wholeRow = y < rim || y >= height - rim;
    for (let x = 0; x < width; x++) {
      if (!wholeRow && x === rim) x = Math.max(rim, width - rim);
      const v = mean[y * width + x];
      if (Number.isNaN(v)) continue;
      cells++;
      if (Math.abs(v - mean[y * width + Math.max(0, x - 1)]) > SMOOTH_SHARE * range) continue;
      if (Math.abs(v - mean[Math.max(0, y - 1) * width + x]) > SMOOTH_SHARE * range) continue;
      if (v > high - END_SHARE * range) bright++;
      else if (v < low + END_SHARE * range) dark++;
    }
  }
  return cells === 0 ? 0 : (bright - dark) / cells;
}

function clamp(v: number): number {
  return Math.max(-1, Math.min(1, v));
}
