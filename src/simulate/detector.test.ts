import { describe, expect, it } from "vitest";
import { seededRandom } from "../statistics/random.ts";
import type { DetectorSpec } from "./detector.ts";
import { detect, detectorSignal, plainDetector } from "./detector.ts";

const SIZE = 256;

function flat(signal: number) {
  return { width: SIZE, height: SIZE, data: new Float32Array(SIZE * SIZE).fill(signal) };
}

function greys(signal: number, changes: Partial<DetectorSpec>): Uint16Array {
  const spec = { ...plainDetector, scatterShare: 0, tailShare: 0, ...changes };
  return detect(flat(signal), spec, seededRandom("noise"), seededRandom("gain"));
}

function moments(samples: Uint16Array) {
  const mean = samples.reduce((a, b) => a + b, 0) / samples.length;
  let squares = 0;
  let neighbours = 0;
  for (let i = 0; i < samples.length; i++) {
    squares += (samples[i] - mean) ** 2;
    if ((i + 1) % SIZE !== 0) neighbours += (samples[i] - mean) * (samples[i + 1] - mean);
  }
  return { mean, sigma: Math.sqrt(squares / samples.length), correlation: neighbours / squares };
}

describe("detect", () => {
  it("gives the open beam the SNR asked for, and less signal the noise of its photons", () => {
    for (const openBeamSnr of [50, 200]) {
      const open = moments(greys(1, { openBeamSnr, electronicNoiseGrey: 0, openBeamGrey: 3000 }));
      // 65536 correlated pixels: about 15000 independent, so 1.2 % at two standard errors.
      expect(Math.abs(open.mean / open.sigma / openBeamSnr - 1)).toBeLessThan(0.03);
      const dim = moments(greys(0.25, { openBeamSnr, electronicNoiseGrey: 0, openBeamGrey: 3000 }));
      expect(Math.abs(dim.mean / dim.sigma / (openBeamSnr / 2) - 1)).toBeLessThan(0.03);
    }
  });

  it("correlates neighbours as a Gaussian blur does: exp(-1 / (4 sigma^2))", () => {
    for (const noiseCorrelationPx of [0.75, 1.2]) {
      const { correlation } = moments(
        greys(1, { openBeamSnr: 50, electronicNoiseGrey: 0, noiseCorrelationPx }),
      );
      expect(correlation).toBeCloseTo(Math.exp(-1 / (4 * noiseCorrelationPx ** 2)), 1);
    }
    const white = moments(greys(1, { openBeamSnr: 50, electronicNoiseGrey: 0, noiseCorrelationPx: 0 }));
    expect(Math.abs(white.correlation)).toBeLessThan(0.02);
  });

  it("adds electronic noise where there is no light", () => {
    const base = greys(0.1, { openBeamSnr: 1e6, electronicNoiseGrey: 5 });
    expect(moments(base).sigma).toBeCloseTo(Math.hypot(5, 1 / Math.sqrt(12)), 0);
  });

  it("clips at the ceiling, keeps to grey steps, inverts, and fits 8 bits", () => {
    expect(Math.max(...greys(1, { openBeamGrey: 6000 }))).toBe(4095);
    const coarse = greys(0.5, { greyStep: 8, openBeamGrey: 6000 });
    expect(coarse.every((g) => g % 8 === 0)).toBe(true);
    expect(Math.max(...greys(1, { greyStep: 8, openBeamGrey: 6000 }))).toBe(4088);
    const plain = greys(0.5, { openBeamSnr: 100 });
    const inverted = greys(0.5, { openBeamSnr: 100, inverted: true });
    expect(plain.every((g, i) => g + inverted[i] === 4095)).toBe(true);
    expect(Math.max(...greys(1, { openBeamGrey: 6000, bits: 8 }))).toBe(255);
  });

  it("keeps one pixel gain for every picture of a detector", () => {
    const spec = { ...plainDetector, openBeamSnr: 1e6, electronicNoiseGrey: 0, gainSpread: 0.02 };
    const one = detect(flat(0.8), spec, seededRandom("a"), seededRandom("gain"));
    const two = detect(flat(0.8), spec, seededRandom("b"), seededRandom("gain"));
    const a = moments(one);
    expect(a.sigma / a.mean).toBeCloseTo(0.02, 3);
    let shared = 0;
    for (let i = 0; i < one.length; i++) shared += (one[i] - a.mean) * (two[i] - a.mean);
    expect(shared / one.length / a.sigma ** 2).toBeGreaterThan(0.99);
  });

  it("blurs without losing signal", () => {
    const image = flat(0);
    image.data[128 * SIZE + 128] = 1000;
    const total = detectorSignal(image, { ...plainDetector, scatterSigmaPx: 20 }).data.reduce(
      (a, b) => a + b,
      0,
    );
    expect(total).toBeCloseTo(1000, 0);
  });
});
