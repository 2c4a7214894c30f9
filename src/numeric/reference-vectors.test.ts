import { existsSync, readFileSync } from "node:fs";
import path from "node:path";
import { describe, expect, it } from "vitest";
import { boxMean } from "./box-mean.ts";
import { labelComponents } from "./components.ts";
import { fft2, fft2Real } from "./fft.ts";
import { gaussianBlur, gaussianTaps } from "./gaussian-blur.ts";
import { openGrey } from "./grey-morphology.ts";
import type { Image, Mask } from "./image.ts";
import { localMaxima } from "./local-maxima.ts";
import { medianFilter } from "./median-filter.ts";
import { close, dilate, distanceTransform, erode, fillHoles, open } from "./morphology.ts";
import { phaseCorrelation } from "./phase-correlation.ts";
import { histogram, multiOtsu, otsuThreshold } from "./threshold.ts";

// Values computed with scikit-image 0.19.3 and scipy 1.10.1 on a crop of the "coins" picture, kept outside the project.
const folder = path.resolve(import.meta.dirname, "../../../shared/reference");
const vectorsFile = path.join(folder, "10_image_vectors.json");
const present = existsSync(vectorsFile);
const vectors = present ? JSON.parse(readFileSync(vectorsFile, "utf8")).vectors : undefined;

function coins(): Image {
  const text = readFileSync(path.join(folder, "data/coins_crop_64x64.csv"), "utf8");
  return {
    width: 64,
    height: 64,
    data: Float32Array.from(
      text
        .trim()
        .split(/\s+/)
        .flatMap((row) => row.split(",").map(Number)),
    ),
  };
}

interface Expected {
  stats: { mean: number; std: number; min: number; max: number; sum: number };
  px: [number, number, number][];
}

function expectPicture(image: Image, expected: Expected, figures = 3): void {
  const { data } = image;
  const mean = data.reduce((s, v) => s + v, 0) / data.length;
  const std = Math.sqrt(data.reduce((s, v) => s + (v - mean) ** 2, 0) / data.length);
  expect(mean).toBeCloseTo(expected.stats.mean, figures);
  expect(std).toBeCloseTo(expected.stats.std, figures);
  expect(Math.min(...data)).toBeCloseTo(expected.stats.min, figures);
  expect(Math.max(...data)).toBeCloseTo(expected.stats.max, figures);
  for (const [row, column, value] of expected.px)
    expect(data[row * image.width + column]).toBeCloseTo(value, figures);
}

const count = (mask: Mask) => mask.data.reduce((s, v) => s + v, 0);

function gridMask(rows: number[][]): Mask {
  return { width: rows[0].length, height: rows.length, data: Uint8Array.from(rows.flat()) };
}

describe.skipIf(!present)("reference vectors (needs ../shared/reference)", () => {
  const foreground = () => {
    const image = coins();
    const mask: Mask = {
      width: 64,
      height: 64,
      data: Uint8Array.from(image.data, (v) => (v > vectors.thresholds.otsu_uint8 ? 1 : 0)),
    };
    return mask;
  };

  it("gaussianBlur equals scipy gaussian_filter, mode nearest", () => {
    expectPicture(gaussianBlur(coins(), 1), vectors.gaussian_s1_nearest);
    expectPicture(gaussianBlur(coins(), 2), vectors.gaussian_s2_nearest);
    expectPicture(gaussianBlur(coins(), 3.5), vectors["gaussian_s3.5_nearest"]);
    const taps = gaussianTaps(1);
    vectors.gaussian_note.kernel_s1.forEach((tap: number, i: number) => {
      expect(taps[Math.abs(i - 4)]).toBeCloseTo(tap, 9);
    });
  });

  it("boxMean equals scipy uniform_filter (radius 1: reflected and repeated edges agree)", () => {
    expectPicture(boxMean(coins(), 1), vectors.uniform3);
  });

  it("medianFilter equals scipy median_filter", () => {
    expectPicture(medianFilter(coins(), 3), vectors.median3);
  });

  it("thresholds equal scikit-image's", () => {
    const of = histogram(coins().data, 256, 0, 256);
    // Ours is a bin edge (foreground at or above it), theirs the last background level.
    const threshold = otsuThreshold(of);
    expect(coins().data.filter((v) => v >= threshold)).toHaveLength(vectors.label_otsu.foreground);
    expect(Math.abs(threshold - 1 - vectors.thresholds.otsu_uint8)).toBeLessThanOrEqual(1);
    multiOtsu(of, 3).forEach((t, i) => {
      expect(Math.abs(t - 1 - vectors.thresholds.multiotsu3[i])).toBeLessThanOrEqual(1);
    });
  });

  it("components equal scikit-image's, numbering included", () => {
    const mask = foreground();
    expect(labelComponents(mask, 4).components).toHaveLength(vectors.label_otsu.n4);
    const { components } = labelComponents(mask, 8);
    const largest = [...components].sort((p, q) => q.areaPx - p.areaPx)[0];
    expect(largest.areaPx).toBe(vectors.largest_region.area);
    expect(largest.centroidPx[1]).toBeCloseTo(vectors.largest_region.centroid_rc[0], 5);
    expect(largest.centroidPx[0]).toBeCloseTo(vectors.largest_region.centroid_rc[1], 5);
    const [top, left, bottom, right] = vectors.largest_region.bbox;
    expect(largest.boxPx).toEqual([left, top, right - left, bottom - top]);
    const tiny = gridMask(vectors.tiny_components.image);
    expect([...labelComponents(tiny, 4).labels]).toEqual(vectors.tiny_components.labels4.flat());
    expect([...labelComponents(tiny, 8).labels]).toEqual(vectors.tiny_components.labels8.flat());
  });

  it("distances equal scipy distance_transform_edt", () => {
    const { labels, components } = labelComponents(foreground(), 8);
    const largest = components.reduce((p, q) => (q.areaPx > p.areaPx ? q : p));
    const region: Mask = {
      width: 64,
      height: 64,
      data: Uint8Array.from(labels, (v) => (v === largest.label ? 1 : 0)),
    };
    expectPicture(distanceTransform(region), vectors.edt_largest);
    const tiny = distanceTransform(gridMask(vectors.tiny_components.image));
    vectors.tiny_components.edt.flat().forEach((v: number, i: number) => {
      expect(tiny.data[i]).toBeCloseTo(v, 5);
    });
  });

  it("binary morphology selects as many pixels as scikit-image's", () => {
    const mask = foreground();
    expect(count(erode(mask, 2))).toBe(vectors.morph.erosion_disk2);
    expect(count(dilate(mask, 2))).toBe(vectors.morph.dilation_disk2);
    expect(count(open(mask, 2))).toBe(vectors.morph.opening_disk2);
    expect(count(close(mask, 2))).toBe(vectors.morph.closing_disk2);
    expect(count(fillHoles(mask))).toBe(vectors.morph.fill_holes);
  });

  it("white top-hat with a disc of 5 sums as scikit-image's", () => {
    const image = coins();
    const opened = openGrey(image, 5);
    expect(image.data.reduce((s, v, i) => s + v - opened.data[i], 0)).toBe(
      vectors.morph.grey_tophat_disk5_sum,
    );
  });

  it("finds the highest peaks that scikit-image finds", () => {
    const peaks = localMaxima(gaussianBlur(coins(), 2), 5, 0)
      .slice(0, 5)
      .map((m) => [m.y, m.x]);
    expect(peaks).toEqual(vectors.peaks_gauss2_min5.rc.slice(0, 5));
  });

  it("phaseCorrelation finds the shifts that were applied", () => {
    const image = coins();
    for (const {
      applied_shift_of_moving: [dy, dx],
    } of vectors.registration.rows) {
      const shift = phaseCorrelation(image, fourierShift(image, dx, dy));
      expect(Math.abs(shift.dx - dx)).toBeLessThan(0.02);
      expect(Math.abs(shift.dy - dy)).toBeLessThan(0.02);
    }
  });
});

function fourierShift(image: Image, dx: number, dy: number): Image {
  const { width, height } = image;
  const { re, im } = fft2Real(image);
  for (let i = 0; i < re.length; i++) {
    const u = i % width;
    const v = (i - u) / width;
    const angle =
      -2 *
      Math.PI *
      ((dx * (u > width / 2 ? u - width : u)) / width + (dy * (v > height / 2 ? v - height : v)) / height);
    const real = re[i] * Math.cos(angle) - im[i] * Math.sin(angle);
    im[i] = re[i] * Math.sin(angle) + im[i] * Math.cos(angle);
    re[i] = real;
  }
  return { width, height, data: fft2({ width, height, re, im }, "inverse").re };
}
