import { describe, expect, it } from "vitest";
import { fft2Real, tapered } from "./fft.ts";
import { gaussianBlur } from "./gaussian-blur.ts";
import { logPolarMagnitude } from "./log-polar.ts";
import { phaseCorrelation } from "./phase-correlation.ts";
import { noiseImage } from "./test-images.ts";
import { warpAffine, warpAffineCubic } from "./warp.ts";

describe("phaseCorrelation", () => {
  const wide = gaussianBlur(noiseImage(208, 208), 2);
  const cut = (dx: number, dy: number) =>
    warpAffineCubic(wide, { a: 1, b: 0, c: 40 - dx, d: 0, e: 1, f: 40 - dy }, 128, 128);

  it.each([
    [0, 0],
    [3, -5],
    [2.3, 1.6],
    [-0.45, 0.2],
  ])("finds content moved by %f, %f", (dx, dy) => {
    const shift = phaseCorrelation(tapered(cut(0, 0), 128, 128), tapered(cut(dx, dy), 128, 128));
    expect(shift.dx).toBeCloseTo(dx, 0);
    expect(Math.abs(shift.dx - dx)).toBeLessThan(0.15);
    expect(Math.abs(shift.dy - dy)).toBeLessThan(0.15);
  });

  it("peaks at 1 for the same picture and low for another", () => {
    const picture = noiseImage(64, 64);
    expect(phaseCorrelation(picture, picture).peak).toBeCloseTo(1, 2);
    expect(phaseCorrelation(picture, noiseImage(64, 64, 99)).peak).toBeLessThan(0.3);
  });
});

describe("logPolarMagnitude", () => {
  it("shows a turn and a scale as a shift", () => {
    const wide = gaussianBlur(noiseImage(400, 400, 11), 2);
    const angle = (12 * Math.PI) / 180;
    const scale = 1.1;
    const cos = Math.cos(angle) / scale;
    const sin = Math.sin(angle) / scale;
    const reference = warpAffine(wide, { a: 1, b: 0, c: 72, d: 0, e: 1, f: 72 }, 256, 256);
    // The content turned by +angle (x towards y) and enlarged, about the centre (200, 200) of the wide picture.
    const turned = warpAffine(
      wide,
      { a: cos, b: sin, c: 200 - 128 * (cos + sin), d: -sin, e: cos, f: 200 - 128 * (cos - sin) },
      256,
      256,
    );
    const grid = (image: typeof wide) => logPolarMagnitude(fft2Real(tapered(image, 256, 256)), 256, 128);
    const first = grid(reference);
    const second = grid(turned);
    const shift = phaseCorrelation(first.image, second.image);
    expect((shift.dy * first.radPerRow * 180) / Math.PI).toBeCloseTo(12, 0);
    expect(Math.exp(-shift.dx * first.logPerColumn)).toBeCloseTo(scale, 1);
  });
});
