import { readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import { boxMean, boxMeanPlain, boxMeanVariance, boxMeanVariancePlain } from "./box-mean.ts";
import { labelComponents } from "./components.ts";
import { fft2Plain, fft2Real } from "./fft.ts";
import { gaussianBlur, gaussianBlurPlain } from "./gaussian-blur.ts";
import { gradient } from "./gradient.ts";
import { closeGrey, openGrey } from "./grey-morphology.ts";
import { minimumAreaRectangle } from "./hull-rectangle.ts";
import type { PointPx } from "./image.ts";
import { distanceFromLine, fitLine } from "./line-fit.ts";
import { logRatio, logRatioPlain } from "./logarithm.ts";
import { medianFilter, medianFilterPlain } from "./median-filter.ts";
import { dilate, dilatePlain, distanceTransform, erode, erodePlain, fillHoles } from "./morphology.ts";
import { median, medianAbsoluteDeviation, quantile } from "./order.ts";
import { fitSurface, renderSurface } from "./polynomial-surface.ts";
import { reduceBy, reduceByPlain } from "./resample.ts";
import { stackQuantile, stackQuantilePlain } from "./stack-quantile.ts";
import { noiseImage } from "./test-images.ts";
import { histogram, otsuThreshold } from "./threshold.ts";
import { warpAffine, warpAffinePlain } from "./warp.ts";

// Values from scipy 1.10.1, OpenCV 4.6, scikit-image 0.19.3 and numpy 1.24.2 by scripts/reference/numeric-fixtures.py.
const fixture = JSON.parse(readFileSync(new URL("./fixtures/numeric.json", import.meta.url), "utf8"));

const width = 48;
const height = 40;
const image = noiseImage(width, height);
const below = (level: number) => ({
  width,
  height,
  data: Uint8Array.from(image.data, (v) => (v < level ? 1 : 0)),
});

function expectKept(name: string, data: ArrayLike<number>, tolerance: number): void {
  const { values, sum } = fixture.results[name] as { values: number[]; sum: number };
  let total = 0;
  for (let i = 0; i < data.length; i++) total += data[i];
  expect(Math.abs(total - sum), `${name}, sum`).toBeLessThan(tolerance * data.length);
  values.forEach((value, k) => {
    expect(Math.abs(data[k * fixture.step] - value), `${name}, value ${k * fixture.step}`).toBeLessThan(
      tolerance,
    );
  });
}

describe("operations against scipy, OpenCV, scikit-image and numpy, kernels and plain versions", () => {
  it("Gaussian", () => {
    for (const blur of [gaussianBlur, gaussianBlurPlain]) {
      expectKept("gaussian1.5", blur(image, 1.5).data, 1e-6);
      expectKept("gaussian8", blur(image, 8).data, 1e-6);
    }
  });

  it("box mean and variance", () => {
    for (const mean of [boxMean, boxMeanPlain]) expectKept("boxMean4", mean(image, 4).data, 1e-6);
    for (const both of [boxMeanVariance, boxMeanVariancePlain]) {
      expectKept("boxVariance4", both(image, 4).variance.data, 1e-6);
    }
  });

  it("area reduction", () => {
    for (const reduce of [reduceBy, reduceByPlain]) {
      expectKept("reduce2", reduce(image, 2).data, 1e-6);
      expectKept("reduce4", reduce(image, 4).data, 1e-6);
    }
  });

  it("affine warp", () => {
    const map = { a: 0.95, b: -0.2, c: 6.5, d: 0.2, e: 0.95, f: -3.25 };
    for (const warp of [warpAffine, warpAffinePlain]) {
      expectKept("warp", warp(image, map, width, height, 0).data, 1e-5);
    }
  });

  it("median filters", () => {
    for (const filter of [medianFilter, medianFilterPlain])
      expectKept("median3", filter(image, 3).data, 1e-6);
    expectKept("median5", medianFilter(image, 5).data, 1e-6);
  });

  it("grey and binary morphology", () => {
    expectKept("openDisc3", openGrey(image, 3).data, 1e-6);
    expectKept("closeSquare2", closeGrey(image, 2, "square").data, 1e-6);
    for (const shrink of [erode, erodePlain]) expectKept("erodeDisc1", shrink(below(0.55), 1).data, 1e-9);
    for (const grow of [dilate, dilatePlain]) expectKept("dilateDisc2", grow(below(0.35), 2).data, 1e-9);
    expectKept("fillHoles", fillHoles(below(0.55)).data, 1e-9);
    expectKept("distance", distanceTransform(below(0.55)).data, 1e-6);
  });

  it("components: how many, and the largest", () => {
    const { components } = labelComponents(below(0.35), 8);
    expect(components).toHaveLength(fixture.numbers.components8);
    const largest = components.reduce((p, q) => (q.areaPx > p.areaPx ? q : p));
    expect(largest.areaPx).toBe(fixture.numbers.largest.areaPx);
    expect(largest.boxPx).toEqual(fixture.numbers.largest.boxPx);
    expect(largest.centroidPx[0]).toBeCloseTo(fixture.numbers.largest.centroidPx[0], 9);
    expect(largest.centroidPx[1]).toBeCloseTo(fixture.numbers.largest.centroidPx[1], 9);
  });

  it("gradient", () => {
    const { gx, gy } = gradient(image);
    expectKept("gradientX", gx.data, 1e-6);
    expectKept("gradientY", gy.data, 1e-6);
  });

  it("Fourier transform", () => {
    const input = noiseImage(64, 32, 5);
    const plain = fft2Plain({ width: 64, height: 32, re: input.data, im: new Float32Array(64 * 32) });
    for (const spectrum of [fft2Real(input), plain]) {
      expectKept("spectrumRe", spectrum.re, 1e-4);
      expectKept("spectrumIm", spectrum.im, 1e-4);
    }
  });

  it("order statistics, across a picture and across pictures", () => {
    expect(quantile(image.data, 0.123)).toBeCloseTo(fixture.numbers["quantile0.123"], 7);
    expect(median(image.data)).toBeCloseTo(fixture.numbers.median, 7);
    expect(medianAbsoluteDeviation(image.data)).toBeCloseTo(fixture.numbers.deviation, 7);
    const stack = Array.from({ length: 12 }, (_, k) => noiseImage(width, height, k + 1));
    for (const across of [stackQuantile, stackQuantilePlain]) {
      expectKept("stackQuantile0.3", across(stack, 0.3).data, 1e-6);
    }
  });

  it("logarithm of a ratio", () => {
    for (const log of [logRatio, logRatioPlain])
      expectKept("logRatio", log(image.data, 0.1, 3.5, 0.01), 2e-6);
  });

  it("Otsu's threshold, to one bin", () => {
    const { data } = gaussianBlur(image, 2);
    const low = data.reduce((p, q) => Math.min(p, q));
    const high = data.reduce((p, q) => Math.max(p, q));
    const of = histogram(data, 256, low, high);
    expect(Math.abs(otsuThreshold(of) - fixture.numbers.otsu)).toBeLessThan(1.5 * of.binWidth);
  });

  it("least-squares surface (noise has no outliers to speak of)", () => {
    expectKept("surface2", renderSurface(fitSurface(image, null, 2)).data, 5e-3);
  });

  it("rectangle and line through points", () => {
    const points: PointPx[] = [
      [3, 4],
      [30, 11],
      [35, 29],
      [9, 21],
      [17, 15],
      [22, 25],
      [5, 9],
    ];
    const { rectangle, line } = fixture.numbers;
    const found = minimumAreaRectangle(points);
    expect(found.centre[0]).toBeCloseTo(rectangle.centre[0], 3);
    expect(found.centre[1]).toBeCloseTo(rectangle.centre[1], 3);
    expect(found.sizeShort).toBeCloseTo(rectangle.sizes[0], 3);
    expect(found.sizeLong).toBeCloseTo(rectangle.sizes[1], 3);
    const fitted = fitLine(points);
    expect(Math.abs(distanceFromLine(fitted, line.point))).toBeLessThan(1e-3);
    expect(
      Math.abs(fitted.direction[0] * line.direction[1] - fitted.direction[1] * line.direction[0]),
    ).toBeLessThan(1e-4);
  });
});
