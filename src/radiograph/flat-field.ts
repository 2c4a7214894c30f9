import type { AttenuationMap } from "./attenuation.ts";
import type { ClipLevels } from "./clipping.ts";
import { CalibrationFrameError } from "./errors.ts";
import { logTable, naturalLog } from "./natural-log.ts";
import type { Picture, Samples } from "./picture.ts";

export interface FramedAttenuation extends AttenuationMap {
  /** Mean of F - D over good pixels. */
  readonly beamGreyMean: number;
  readonly badPixels: number;
  /** (I - D) / (F - D) times that mean, Float32; NaN at bad pixels. For estimating noise without the fixed pattern. */
  readonly corrected: Float32Array;
}

/** A pixel is bad when its open-beam signal is outside these shares of its neighbourhood's. */
const DEAD_SHARE = 0.5;
const HOT_SHARE = 1.6;
/** or when its dark level exceeds the usual one by this share of the usual open-beam signal. */
const HOT_DARK_SHARE = 0.15;
/** Neighbourhood over which open-beam signal is compared, px. */
const TILE_PX = 32;

/**
 * a = -ln((I - D) / (F - D)) for every pixel.
 *
 * Bad pixels (dead or hot in flat or dark) are coded 3 and hold the mean of their good neighbours,
 * for display only.
 *
 * @param flat open-beam frame of the picture's size
 * @param dark beam-off frame; without it D = 0
 * @throws CalibrationFrameError when sizes differ, a frame isn't grey, or the flat frame holds no beam
 */
export function attenuationFromFrames(
  samples: Samples,
  widthPx: number,
  heightPx: number,
  flat: Picture,
  dark: Picture | undefined,
  clip: ClipLevels,
): FramedAttenuation {
  const beam = frameSamples(flat, widthPx, heightPx, "flat");
  const offset = dark === undefined ? null : frameSamples(dark, widthPx, heightPx, "dark");
  const n = samples.length;
  const bad = badPixels(beam, offset, widthPx, heightPx);
  const attenuation = new Float32Array(n);
  const censored = new Uint8Array(n);
  const corrected = new Float32Array(n);
  const ln = lnOf(samples, beam, offset);
  const high = clip.high ?? Number.POSITIVE_INFINITY;
  const low = clip.low ?? Number.NEGATIVE_INFINITY;
  let sum = 0;
  let good = 0;
  let saturated = 0;
  let floored = 0;
  let badCount = 0;
  for (let i = 0; i < n; i++) {
    if (bad[i] === 1 || samples[i] - samples[i] !== 0) {
      censored[i] = 3;
      corrected[i] = Number.NaN;
      badCount++;
      continue;
    }
    const d = offset === null ? 0 : offset[i];
    const signal = samples[i] - d;
    const open = beam[i] - d;
    sum += open;
    good++;
    if (samples[i] >= high) {
      censored[i] = 1;
      saturated++;
    } else if (signal < 0.5 || samples[i] <= low) {
      censored[i] = 2;
      floored++;
    }
    corrected[i] = signal / open;
    attenuation[i] = ln(open) - ln(Math.max(signal, 0.5));
  }
  const beamGreyMean = good > 0 ? sum / good : 0;
  for (let i = 0; i < n; i++) corrected[i] *= beamGreyMean;
  fillFromNeighbours(attenuation, censored, widthPx, heightPx);
  return {
    attenuation,
    censored,
    saturatedShare: saturated / n,
    floorShare: floored / n,
    beamGreyMean,
    badPixels: badCount,
    corrected,
  };
}

function lnOf(...frames: readonly (Samples | null)[]): (v: number) => number {
  const whole = frames.every((f) => f === null || f instanceof Uint8Array || f instanceof Uint16Array);
  if (!whole) return naturalLog;
  const table = logTable(65537);
  return (v) => (v >= 1 ? table[v] : naturalLog(v));
}

function frameSamples(frame: Picture, widthPx: number, heightPx: number, which: "flat" | "dark"): Samples {
  if (frame.widthPx !== widthPx || frame.heightPx !== heightPx) {
    throw new CalibrationFrameError(
      "radiograph/frame-size",
      `a ${which} frame of ${widthPx} x ${heightPx} px`,
      `${frame.widthPx} x ${frame.heightPx} px`,
      "Give frames taken with the same detector window and binning as the picture.",
    );
  }
  if (frame.channels !== 1) {
    throw new CalibrationFrameError(
      "radiograph/frame-not-grey",
      `a ${which} frame of one channel`,
      `${frame.channels} channels`,
      "Give the frames as the detector wrote them.",
    );
  }
  return frame.samples;
}

function badPixels(beam: Samples, offset: Samples | null, widthPx: number, heightPx: number): Uint8Array {
  const n = beam.length;
  const bad = new Uint8Array(n);
  const usualDark = offset === null ? 0 : sampledMedian(offset, 0, n, 1);
  const usualBeam = sampledMedian(beam, 0, n, 1) - usualDark;
  if (!(usualBeam > 0)) {
    throw new CalibrationFrameError(
      "radiograph/frame-dark",
      "a flat frame brighter than the dark frame",
      `a usual difference of ${usualBeam}`,
      "Check that flat and dark frames were not exchanged.",
    );
  }
  for (let top = 0; top < heightPx; top += TILE_PX) {
    const bottom = Math.min(heightPx, top + TILE_PX);
    for (let left = 0; left < widthPx; left += TILE_PX) {
      const right = Math.min(widthPx, left + TILE_PX);
      const signals: number[] = [];
      for (let y = top; y < bottom; y += 2) {
        for (let x = left; x < right; x += 2) {
          const i = y * widthPx + x;
          signals.push(beam[i] - (offset === null ? 0 : offset[i]));
        }
      }
      signals.sort((p, q) => p - q);
      const usual = signals[signals.length >> 1];
      for (let y = top; y < bottom; y++) {
        for (let x = left; x < right; x++) {
          const i = y * widthPx + x;
          const d = offset === null ? 0 : offset[i];
          const signal = beam[i] - d;
          const wrong = !(signal > DEAD_SHARE * usual && signal < HOT_SHARE * usual) || signal <= 0;
          if (wrong || d - usualDark > HOT_DARK_SHARE * usualBeam) bad[i] = 1;
        }
      }
    }
  }
  return bad;
}

function sampledMedian(samples: Samples, from: number, to: number, least: number): number {
  const stride = Math.max(least, Math.floor((to - from) / 20011));
  const seen: number[] = [];
  for (let i = from; i < to; i += stride) seen.push(samples[i]);
  seen.sort((p, q) => p - q);
  return seen[seen.length >> 1];
}

/** Gives pixels coded 3 the mean of the nearest ring of other pixels around them. */
function fillFromNeighbours(
  attenuation: Float32Array,
  censored: Uint8Array,
  widthPx: number,
  heightPx: number,
): void {
  for (let i = 0; i < censored.length; i++) {
    if (censored[i] !== 3) continue;
    const x = i % widthPx;
    const y = (i - x) / widthPx;
    for (let reach = 1; reach <= 8; reach++) {
      let sum = 0;
      let n = 0;
      for (let v = Math.max(0, y - reach); v <= Math.min(heightPx - 1, y + reach); v++) {
        for (let u = Math.max(0, x - reach); u <= Math.min(widthPx - 1, x + reach); u++) {
          const j = v * widthPx + u;
          if (censored[j] === 3) continue;
          sum += attenuation[j];
          n++;
        }
      }
      if (n > 0) {
        attenuation[i] = sum / n;
        break;
      }
    }
  }
}
