import { evaluateSurface } from "../numeric/polynomial-surface.ts";
import type { Background } from "./background.ts";
import type { ClipLevels } from "./clipping.ts";
import { logTable, naturalLog } from "./natural-log.ts";
import type { Samples } from "./picture.ts";

/** How stored grey becomes transmission: itself, or counted down from `topGrey` when dense is bright. */
export interface TransmissionRule {
  readonly inverted: boolean;
  readonly topGrey: number;
  /** Least transmission a pixel is given, so that a logarithm exists. */
  readonly leastGrey: number;
}

export interface AttenuationMap {
  readonly attenuation: Float32Array;
  readonly censored: Uint8Array;
  readonly saturatedShare: number;
  readonly floorShare: number;
}

const NODE_PX = 32;
const TABLE_SIZE = 65536;

/**
 * a = -ln(I / I0) for every pixel, with I0 from a fitted background.
 *
 * ln I comes from a table over the 65536 values of integer samples (computed pixel by pixel for
 * others); ln I0 is evaluated every 32 px and interpolated bilinearly.
 *
 * @param samples row-major, widthPx * heightPx
 * @param factorPx samples per cell of the reduced picture in which the surface was fitted
 */
export function attenuationFromBackground(
  samples: Samples,
  widthPx: number,
  heightPx: number,
  rule: TransmissionRule,
  clip: ClipLevels,
  background: Background,
  factorPx: number,
): AttenuationMap {
  const attenuation = new Float32Array(samples.length);
  const censored = new Uint8Array(samples.length);
  const table = negativeLogTable(samples, rule);
  const codes = table === null ? null : codeTable(rule, clip);
  const logAt = lnField(background, factorPx);
  const nodes = Math.ceil((widthPx - 1) / NODE_PX) + 1;
  const upper = new Float64Array(nodes);
  const lower = new Float64Array(nodes);
  const low = clip.low ?? Number.NEGATIVE_INFINITY;
  const high = clip.high ?? Number.POSITIVE_INFINITY;
  let saturated = 0;
  let floored = 0;
  let band = -1;
  for (let y = 0; y < heightPx; y++) {
    const nodeRow = Math.floor(y / NODE_PX);
    if (nodeRow !== band) {
      for (let k = 0; k < nodes; k++) {
        upper[k] = logAt(k * NODE_PX, nodeRow * NODE_PX);
        lower[k] = logAt(k * NODE_PX, (nodeRow + 1) * NODE_PX);
      }
      band = nodeRow;
    }
    const down = (y - nodeRow * NODE_PX) / NODE_PX;
    for (let k = 0; k < nodes; k++) {
      const from = upper[k] + (lower[k] - upper[k]) * down;
      const to = k + 1 < nodes ? upper[k + 1] + (lower[k + 1] - upper[k + 1]) * down : from;
      const slope = (to - from) / NODE_PX;
      const first = y * widthPx + k * NODE_PX;
      const last = Math.min(first + NODE_PX, (y + 1) * widthPx);
      if (table !== null && codes !== null) {
        for (let i = first; i < last; i++) {
          const v = samples[i];
          const code = codes[v];
          attenuation[i] = table[v] + (from + (i - first) * slope);
          censored[i] = code;
          saturated += code & 1;
          floored += code >> 1;
        }
      } else {
        for (let i = first; i < last; i++) {
          const v = samples[i];
          const transmission = rule.inverted ? rule.topGrey - v : v;
          const code = codeOf(v, rule, low, high);
          censored[i] = code;
          if (code === 3) continue;
          attenuation[i] = from + (i - first) * slope - naturalLog(Math.max(transmission, rule.leastGrey));
          saturated += code & 1;
          floored += code >> 1;
        }
      }
    }
  }
  const n = Math.max(1, samples.length);
  return { attenuation, censored, saturatedShare: saturated / n, floorShare: floored / n };
}

function lnField(background: Background, factorPx: number): (xPx: number, yPx: number) => number {
  const { surface, greyMean } = background;
  if (surface === null) {
    const constant = naturalLog(greyMean);
    return () => constant;
  }
  const middle = (factorPx - 1) / 2;
  return (xPx, yPx) => {
    const grey = evaluateSurface(surface, (xPx - middle) / factorPx, (yPx - middle) / factorPx);
    return naturalLog(Math.max(grey, 0.05 * greyMean));
  };
}

/** -ln of the transmission of each stored value; null when samples don't index a table. */
function negativeLogTable(samples: Samples, rule: TransmissionRule): Float32Array | null {
  if (!(samples instanceof Uint8Array || samples instanceof Uint16Array)) return null;
  const size = samples instanceof Uint8Array ? 256 : TABLE_SIZE;
  const logs = logTable(TABLE_SIZE + 1);
  const least = naturalLog(rule.leastGrey);
  const table = new Float32Array(size);
  for (let v = 0; v < size; v++) {
    const transmission = rule.inverted ? rule.topGrey - v : v;
    table[v] = transmission > rule.leastGrey ? -logs[transmission] : -least;
  }
  return table;
}

function codeTable(rule: TransmissionRule, clip: ClipLevels): Uint8Array {
  const low = clip.low ?? Number.NEGATIVE_INFINITY;
  const high = clip.high ?? Number.POSITIVE_INFINITY;
  const codes = new Uint8Array(TABLE_SIZE);
  for (let v = 0; v < TABLE_SIZE; v++) codes[v] = codeOf(v, rule, low, high);
  return codes;
}

function codeOf(v: number, rule: TransmissionRule, low: number, high: number): 0 | 1 | 2 | 3 {
  if (v - v !== 0) return 3;
  const transmission = rule.inverted ? rule.topGrey - v : v;
  const atBright = rule.inverted ? v <= low : v >= high;
  if (atBright) return 1;
  const atDark = rule.inverted ? v >= high : v <= low;
  return atDark || transmission < rule.leastGrey ? 2 : 0;
}
