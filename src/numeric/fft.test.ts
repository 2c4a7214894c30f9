import { describe, expect, it } from "vitest";
import { RangeOfArgumentError } from "./errors.ts";
import { fft2, fft2Real, tapered } from "./fft.ts";
import { largestDifference, noiseImage } from "./test-images.ts";

describe("fft2", () => {
  it("agrees with the sum that defines it", () => {
    const image = noiseImage(8, 4);
    const spectrum = fft2Real(image);
    for (const [u, v] of [
      [0, 0],
      [1, 0],
      [3, 2],
      [7, 3],
    ]) {
      let re = 0;
      let im = 0;
      image.data.forEach((value, i) => {
        const angle = -2 * Math.PI * ((u * (i % 8)) / 8 + (v * Math.floor(i / 8)) / 4);
        re += value * Math.cos(angle);
        im += value * Math.sin(angle);
      });
      expect(spectrum.re[v * 8 + u]).toBeCloseTo(re, 5);
      expect(spectrum.im[v * 8 + u]).toBeCloseTo(im, 5);
    }
  });

  it("returns after the inverse and keeps energy (Parseval)", () => {
    const image = noiseImage(64, 32);
    const spectrum = fft2Real(image);
    expect(largestDifference(fft2(spectrum, "inverse").re, image.data)).toBeLessThan(1e-5);
    const energy = image.data.reduce((s, v) => s + v * v, 0);
    const there = spectrum.re.reduce((s, v, i) => s + v * v + spectrum.im[i] ** 2, 0) / (64 * 32);
    expect(there / energy).toBeCloseTo(1, 5);
  });

  it("refuses sides that are no power of two", () => {
    expect(() => fft2Real(noiseImage(12, 8))).toThrow(RangeOfArgumentError);
  });

  it("tapers to nothing at the border and centres the picture", () => {
    const framed = tapered(noiseImage(20, 10), 32, 16, 0.2);
    expect(framed.data[0]).toBe(0);
    expect(Math.abs(framed.data[3 * 32 + 6])).toBeLessThan(0.05);
    expect(() => tapered(noiseImage(20, 10), 16, 16)).toThrow(RangeOfArgumentError);
  });
});
