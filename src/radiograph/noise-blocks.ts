import type { ClipLevels } from "./clipping.ts";
import type { Samples } from "./picture.ts";

const BLOCK_PX = 8;
const SAMPLES_IN_BLOCK = BLOCK_PX * BLOCK_PX;
const TARGET_BLOCKS = 12000;
/** Sum over an 8 x 8 block of the squared distance from its middle, along one axis. */
const AXIS_SUM = 336;

/** Statistics of 8 x 8 blocks spread over a picture. */
export interface NoiseBlocks {
  readonly count: number;
  readonly grey: Float64Array;
  readonly variance: Float64Array;
  /** Half the mean square difference of neighbours in a row. */
  readonly difference: Float64Array;
}

/**
 * Mean, variance about a plane, and neighbour difference of up to about 12000 blocks. Blocks with a
 * sample at a clip level, or that is no number, are left out.
 */
export function measureBlocks(
  samples: Samples,
  widthPx: number,
  heightPx: number,
  clip: ClipLevels,
): NoiseBlocks {
  const across = Math.floor(widthPx / BLOCK_PX);
  const down = Math.floor(heightPx / BLOCK_PX);
  const skip = Math.max(1, Math.ceil(Math.sqrt((across * down) / TARGET_BLOCKS)));
  const capacity = Math.ceil(across / skip) * Math.ceil(down / skip);
  const grey = new Float64Array(capacity);
  const variance = new Float64Array(capacity);
  const difference = new Float64Array(capacity);
  const lowClip = clip.low ?? Number.NEGATIVE_INFINITY;
  const highClip = clip.high ?? Number.POSITIVE_INFINITY;
  let count = 0;
  for (let by = 0; by < down; by += skip) {
    for (let bx = 0; bx < across; bx += skip) {
      const corner = by * BLOCK_PX * widthPx + bx * BLOCK_PX;
      const origin = samples[corner];
      let sum = 0;
      let squares = 0;
      let alongX = 0;
      let alongY = 0;
      let steps = 0;
      let usable = true;
      for (let y = 0; y < BLOCK_PX && usable; y++) {
        let previous = 0;
        for (let x = 0; x < BLOCK_PX; x++) {
          const raw = samples[corner + y * widthPx + x];
          if (!(raw > lowClip && raw < highClip)) {
            usable = false;
            break;
          }
          const v = raw - origin;
          sum += v;
          squares += v * v;
          alongX += (x - 3.5) * v;
          alongY += (y - 3.5) * v;
          if (x > 0) steps += (v - previous) * (v - previous);
          previous = v;
        }
      }
      if (!usable) continue;
      grey[count] = origin + sum / SAMPLES_IN_BLOCK;
      const left = squares - (sum * sum) / SAMPLES_IN_BLOCK - (alongX * alongX + alongY * alongY) / AXIS_SUM;
      variance[count] = Math.max(0, left / (SAMPLES_IN_BLOCK - 3));
      const slope = alongX / AXIS_SUM;
      difference[count] = Math.max(0, steps / (BLOCK_PX * (BLOCK_PX - 1)) - slope * slope) / 2;
      count++;
    }
  }
  return { count, grey, variance, difference };
}
