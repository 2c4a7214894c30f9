import { describe, expect, test } from "vitest";
import { clipLevels } from "./clipping.ts";
import { greyHistogram } from "./grey-histogram.ts";
import { greyStep } from "./grey-step.ts";
import { inventedPicture } from "./invented-picture.ts";
import type { Samples } from "./picture.ts";

const clipOf = (samples: Samples): { low: number | null; high: number | null } => {
  const histogram = greyHistogram(samples);
  return clipLevels(histogram, greyStep(histogram));
};
/** Left half dense, right half open beam at `beam`. */
const halves = (beam: number, gain: number, bits: 8 | 12 | 16, step = 1): Samples =>
  inventedPicture({ widthPx: 120, heightPx: 100, grey: (x) => (x < 60 ? beam / 3 : beam), gain, bits, step })
    .samples;

describe("clipLevels", () => {
  test("a smooth open-beam peak under the ceiling is no clip", () => {
    expect(clipOf(halves(2600, 0.01, 16))).toEqual({ low: null, high: null });
  });

  test("a 12-bit ceiling in a 16-bit file", () => {
    expect(clipOf(halves(4200, 1, 12)).high).toBe(4095);
  });

  test("a half-clipped peak: part of the open beam reaches the ceiling", () => {
    expect(clipOf(halves(4090, 0.2, 12)).high).toBe(4095);
  });

  test("a 9-bit digitiser in steps of 8 clips at 4088", () => {
    expect(clipOf(halves(5000, 0.1, 12, 8)).high).toBe(4088);
  });

  test("8 bits: white at 255 and black at 0", () => {
    const grey = (x: number): number => (x < 40 ? -30 : x < 80 ? 120 : 300);
    expect(clipOf(inventedPicture({ widthPx: 120, heightPx: 90, grey, gain: 0.3, bits: 8 }).samples)).toEqual(
      {
        low: 0,
        high: 255,
      },
    );
  });

  test("a ceiling of no converter (a gain-corrected 3711), found on its populated slope", () => {
    const samples = halves(3650, 1, 16).map((v) => Math.min(v, 3711));
    expect(clipOf(halves(3650, 1, 16)).high).toBeNull();
    const lower = samples.map((v) => Math.min(v, 3660));
    expect(clipOf(lower).high).toBe(3660);
  });

  test("a few hot pixels beyond the spike don't hide it", () => {
    const samples = halves(3720, 1, 16).map((v) => Math.min(v, 3711));
    samples[17] = 65535;
    expect(clipOf(samples).high).toBe(3711);
  });

  test("a noise-free drawing with one background value is not clipped", () => {
    expect(clipOf(halves(3000, 0, 16))).toEqual({ low: null, high: null });
  });
});
