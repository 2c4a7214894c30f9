import { describe, expect, it } from "vitest";
import { wireContrastToNoise } from "../../scripts/study-lots/wire-contrast.ts";

const detector = {
  blurSigmaPx: 0.72,
  openBeamSnr: 600,
  openBeamGrey: 3400,
  electronicNoiseGrey: 0,
  greyStep: 0,
  noiseCorrelationPx: 0,
  gainSpread: 0,
};
const wire = { relativeContrast: 0.1, diameterPx: 1.85, lengthPx: 60, mouldTransmission: 0.4, detector };

/** Sum over a fine grid of the squared profile: a chord of a round wire, blurred by a Gaussian. */
function profileSquared(contrast: number, diameter: number, sigma: number): number {
  const step = 0.02;
  const half = 8;
  const n = Math.round((2 * half) / step);
  const at = (i: number) => -half + i * step;
  const chord = (x: number) => contrast * Math.sqrt(Math.max(0, 1 - (x / (diameter / 2)) ** 2));
  let sum = 0;
  for (let i = 0; i <= n; i++) {
    let blurred = 0;
    for (let j = 0; j <= n; j++) {
      const c = chord(at(j));
      if (c > 0) blurred += c * Math.exp(-((at(i) - at(j)) ** 2) / (2 * sigma * sigma)) * step;
    }
    sum += (blurred / (sigma * Math.sqrt(2 * Math.PI))) ** 2 * step;
  }
  return sum;
}

describe("wireContrastToNoise", () => {
  it("is that of a matched filter in white noise, the profile summed on a fine grid", () => {
    const noise = 1 / (600 * Math.sqrt(0.4));
    const expected = Math.sqrt(60 * profileSquared(0.1, 1.85, 0.72)) / noise;
    expect(wireContrastToNoise(wire) / expected).toBeCloseTo(1, 2);
  });

  it("falls with noise that neighbours share, by the square root of 4 pi s^2", () => {
    const correlated = wireContrastToNoise({ ...wire, detector: { ...detector, noiseCorrelationPx: 0.75 } });
    expect(wireContrastToNoise(wire) / correlated).toBeCloseTo(Math.sqrt(4 * Math.PI * 0.5625), 6);
  });

  it("grows with the square root of the length, and in proportion to contrast", () => {
    expect(wireContrastToNoise({ ...wire, lengthPx: 240 }) / wireContrastToNoise(wire)).toBeCloseTo(2, 9);
    expect(wireContrastToNoise({ ...wire, relativeContrast: 0.05 }) / wireContrastToNoise(wire)).toBeCloseTo(0.5, 9); // biome-ignore format: one line
  });

  it("counts electronics, rounding and uncorrected gain", () => {
    for (const worse of [{ electronicNoiseGrey: 4 }, { greyStep: 8 }, { gainSpread: 0.01 }])
      expect(wireContrastToNoise({ ...wire, detector: { ...detector, ...worse } })).toBeLessThan(
        wireContrastToNoise(wire),
      );
  });
});
