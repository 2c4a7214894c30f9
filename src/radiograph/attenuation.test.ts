import { describe, expect, test } from "vitest";
import { fitSurface } from "../numeric/polynomial-surface.ts";
import { attenuationFromBackground } from "./attenuation.ts";
import type { Background } from "./background.ts";

const flat = (greyMean: number): Background => ({
  kind: "fitted",
  greyMean,
  share: 1,
  saturated: false,
  surface: null,
});
const linear = { inverted: false, topGrey: 65535, leastGrey: 0.5 };
const noClip = { low: null, high: null };

describe("attenuationFromBackground", () => {
  test("-ln(I / I0), worked by hand", () => {
    const { attenuation } = attenuationFromBackground(
      Uint16Array.from([1000, 500, 250, 2000]),
      2,
      2,
      linear,
      noClip,
      flat(1000),
      1,
    );
    for (const [i, a] of [0, Math.LN2, 2 * Math.LN2, -Math.LN2].entries())
      expect(attenuation[i]).toBeCloseTo(a, 6);
  });

  test("saturated is an upper bound, the floor a lower one, no number a hole", () => {
    const samples = Float32Array.from([4095, 0, 800, Number.NaN]);
    const { attenuation, censored, saturatedShare, floorShare } = attenuationFromBackground(
      samples,
      4,
      1,
      linear,
      { low: 0, high: 4095 },
      flat(4095),
      1,
    );
    expect([...censored]).toEqual([1, 2, 0, 3]);
    expect(attenuation[0]).toBeCloseTo(0, 6);
    expect(attenuation[1]).toBeCloseTo(Math.log(4095 / 0.5), 5);
    expect(attenuation[3]).toBe(0);
    expect([saturatedShare, floorShare]).toEqual([0.25, 0.25]);
  });

  test("dense is bright: counted down, and the ends change their meaning", () => {
    const rule = { inverted: true, topGrey: 255, leastGrey: 0.5 };
    const samples = Uint8Array.from([55, 155, 0, 255]);
    const { attenuation, censored } = attenuationFromBackground(
      samples,
      4,
      1,
      rule,
      { low: 0, high: 255 },
      flat(200),
      1,
    );
    expect(attenuation[0]).toBeCloseTo(0, 6);
    expect(attenuation[1]).toBeCloseTo(Math.LN2, 6);
    expect([...censored]).toEqual([0, 0, 1, 2]);
  });

  test("a shaded beam, fitted on cells of 4 px, is taken out to 2e-4", () => {
    const cells = { width: 40, height: 30, data: new Float32Array(1200) };
    const beam = (xPx: number, yPx: number): number => 3000 + 2 * xPx - yPx - 0.0005 * xPx * xPx;
    for (let i = 0; i < 1200; i++) cells.data[i] = beam(4 * (i % 40) + 1.5, 4 * Math.floor(i / 40) + 1.5);
    const surface = fitSurface(cells, null, 2);
    const samples = Float32Array.from(
      { length: 160 * 120 },
      (_, i) => 0.5 * beam(i % 160, Math.floor(i / 160)),
    );
    const found: Background = { kind: "fitted", greyMean: 3000, share: 1, saturated: false, surface };
    const { attenuation } = attenuationFromBackground(samples, 160, 120, linear, noClip, found, 4);
    for (const a of attenuation) expect(Math.abs(a - Math.LN2)).toBeLessThan(2e-4);
  });
});
