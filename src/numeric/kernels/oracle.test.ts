import { describe, expect, it } from "vitest";
import { absoluteDifference, accumulate, accumulatePlain, difference, subtractPlain } from "../arithmetic.ts";
import { boxMean, boxMeanPlain, boxMeanVariance, boxMeanVariancePlain } from "../box-mean.ts";
import { fft2, fft2Plain } from "../fft.ts";
import { gaussianBlur, gaussianBlurPlain } from "../gaussian-blur.ts";
import { closeGrey, dilateGrey, dilateGreyPlain, erodeGrey, openGrey } from "../grey-morphology.ts";
import { logRatio, logRatioPlain } from "../logarithm.ts";
import { medianFilter, medianFilterPlain } from "../median-filter.ts";
import { dilate, dilatePlain, erode, erodePlain } from "../morphology.ts";
import { reduceBy, reduceByPlain } from "../resample.ts";
import { largestDifference, noiseImage } from "../test-images.ts";
import { warpAffine, warpAffinePlain } from "../warp.ts";
import { kernelEngine } from "./engine.ts";

// Sizes on both sides of the kernels' steps (4, 16, 512) and of a band's height; one pixel wide and high included.
const sizes: [number, number][] = [
  [1, 1],
  [1, 7],
  [5, 1],
  [2, 2],
  [15, 9],
  [16, 16],
  [33, 70],
  [517, 40],
  [1030, 130],
];

describe("kernels against their plain versions", () => {
  it("run on this host", () => {
    expect(kernelEngine()).not.toBeNull();
  });

  it.each(sizes)("gaussianBlur %i x %i", (width, height) => {
    const image = noiseImage(width, height);
    for (const sigma of [0.3, 1.5, 8]) {
      expect(
        largestDifference(gaussianBlur(image, sigma).data, gaussianBlurPlain(image, sigma).data),
      ).toBeLessThan(1e-6);
    }
  });

  it.each(sizes)("boxMean and variance %i x %i", (width, height) => {
    const image = noiseImage(width, height);
    for (const radius of [0, 1, 6, 40]) {
      expect(largestDifference(boxMean(image, radius).data, boxMeanPlain(image, radius).data)).toBeLessThan(
        1e-6,
      );
      const kernel = boxMeanVariance(image, radius);
      const plain = boxMeanVariancePlain(image, radius);
      expect(largestDifference(kernel.mean.data, plain.mean.data)).toBeLessThan(1e-6);
      expect(largestDifference(kernel.variance.data, plain.variance.data)).toBeLessThan(1e-6);
    }
  });

  it.each(sizes)("reduceBy %i x %i", (width, height) => {
    const image = noiseImage(width, height);
    for (const factor of [1, 2, 3, 8]) {
      expect(largestDifference(reduceBy(image, factor).data, reduceByPlain(image, factor).data)).toBeLessThan(
        1e-6,
      );
    }
  });

  it.each(sizes)("dilateGrey and erodeGrey %i x %i, exactly", (width, height) => {
    const image = noiseImage(width, height);
    const negative = { ...image, data: image.data.map((v) => -v) };
    for (const element of ["disc", "square"] as const) {
      for (const radius of [0, 1, 2, 7]) {
        const plain = dilateGreyPlain(image, radius, element);
        expect(largestDifference(dilateGrey(image, radius, element).data, plain.data)).toBe(0);
        const eroded = erodeGrey(negative, radius, element).data.map((v) => -v);
        expect(largestDifference(eroded, plain.data)).toBe(0);
      }
    }
  });

  it.each(sizes)("openGrey and closeGrey %i x %i, exactly", (width, height) => {
    const image = noiseImage(width, height);
    for (const radius of [0, 1, 3, 9]) {
      const opened = dilateGrey(erodeGrey(image, radius), radius);
      expect(largestDifference(openGrey(image, radius).data, opened.data)).toBe(0);
      const closed = erodeGrey(dilateGrey(image, radius, "square"), radius, "square");
      expect(largestDifference(closeGrey(image, radius, "square").data, closed.data)).toBe(0);
    }
  });

  it.each(sizes)("erode and dilate %i x %i, exactly", (width, height) => {
    for (const level of [0.05, 0.5, 0.9]) {
      const mask = {
        width,
        height,
        data: Uint8Array.from(noiseImage(width, height).data, (v) => (v < level ? 1 : 0)),
      };
      for (const radius of [0, 0.5, 1, 1.5, 3, 20]) {
        expect(largestDifference(dilate(mask, radius).data, dilatePlain(mask, radius).data)).toBe(0);
        expect(largestDifference(erode(mask, radius).data, erodePlain(mask, radius).data)).toBe(0);
      }
    }
  });

  it.each(sizes)("medianFilter %i x %i, exactly", (width, height) => {
    const image = noiseImage(width, height);
    expect(largestDifference(medianFilter(image, 3).data, medianFilterPlain(image, 3).data)).toBe(0);
  });

  it.each(sizes)("warpAffine %i x %i", (width, height) => {
    const image = noiseImage(width, height);
    const maps = [
      { a: 1, b: 0, c: 0, d: 0, e: 1, f: 0 },
      { a: -1, b: 0, c: width - 1, d: 0, e: 1, f: 0 },
      { a: 0, b: 1, c: 0, d: -1, e: 0, f: height - 1 },
      { a: 0.97, b: -0.26, c: 4.3, d: 0.26, e: 0.97, f: -2.1 },
      { a: -1.7, b: 0.4, c: width * 0.8, d: -0.3, e: -1.9, f: height * 0.9 },
      { a: 0, b: 0, c: width / 3, d: 0, e: 0, f: height / 3 },
    ];
    for (const map of maps) {
      const kernel = warpAffine(image, map, width + 3, height + 2, -5);
      const plain = warpAffinePlain(image, map, width + 3, height + 2, -5);
      expect(largestDifference(kernel.data, plain.data)).toBeLessThan(2e-5);
    }
  });

  it("fft2, forward and back", () => {
    for (const [width, height] of [
      [8, 8],
      [16, 64],
      [256, 32],
      [128, 128],
    ]) {
      const input = {
        width,
        height,
        re: noiseImage(width, height).data,
        im: noiseImage(width, height, 2).data,
      };
      const kernel = fft2(input);
      const plain = fft2Plain(input);
      // The mean of 0..1 noise makes frequency 0 the largest value by far; errors are a share of it.
      const size = (width * height) / 2;
      expect(largestDifference(kernel.re, plain.re) / size).toBeLessThan(2e-7);
      expect(largestDifference(kernel.im, plain.im) / size).toBeLessThan(2e-7);
      expect(largestDifference(fft2(kernel, "inverse").re, input.re)).toBeLessThan(1e-6);
    }
  });

  it.each(sizes)("differences and sums %i x %i", (width, height) => {
    const first = noiseImage(width, height);
    const second = noiseImage(width, height, 2);
    const plain = new Float32Array(width * height);
    subtractPlain(first.data, second.data, plain, false);
    expect(largestDifference(difference(first, second).data, plain)).toBe(0);
    subtractPlain(first.data, second.data, plain, true);
    expect(largestDifference(absoluteDifference(first, second).data, plain)).toBe(0);
    const sum = { ...first, data: first.data.slice() };
    accumulate(sum, second, 0.3);
    plain.set(first.data);
    accumulatePlain(plain, second.data, 0.3);
    expect(largestDifference(sum.data, plain)).toBeLessThan(2e-7);
  });

  it("logRatio over every 16-bit sample, against the plain version and Math.log", () => {
    const samples = Uint16Array.from({ length: 65536 }, (_, i) => i);
    const kernel = logRatio(samples, 100, 65535, 1);
    expect(largestDifference(kernel, logRatioPlain(samples, 100, 65535, 1))).toBeLessThan(2e-6);
    samples.forEach((sample, i) => {
      if (Math.abs(kernel[i] - Math.log(65535 / Math.max(1, sample - 100))) > 2e-6)
        expect(sample).toBe("within 2e-6");
    });
  });
});
