import { boxMean, boxMeanPlain, boxMeanVariance, boxMeanVariancePlain } from "../src/numeric/box-mean.ts";
import { gaussianBlur, gaussianBlurPlain } from "../src/numeric/gaussian-blur.ts";
import { dilateGreyPlain, openGrey } from "../src/numeric/grey-morphology.ts";
import type { Image } from "../src/numeric/image.ts";
import { createImage } from "../src/numeric/image.ts";
import { logRatio, logRatioPlain } from "../src/numeric/logarithm.ts";
import { medianFilter, medianFilterPlain } from "../src/numeric/median-filter.ts";
import type { BenchCase, BenchInput } from "./bench-case.ts";

/** A case whose output is handed over, as hot paths do; the reference does the same. */
function filter(
  name: string,
  run: (image: Image, out: Image) => Image,
  plain: (image: Image, out: Image) => Image,
): BenchCase {
  const prepared = (step: typeof run) => (input: BenchInput) => {
    const out = createImage(input.image.width, input.image.height);
    return () => step(input.image, out);
  };
  return { name, setup: prepared(run), plain: prepared(plain) };
}

const flatAndLog =
  (step: typeof logRatio) =>
  ({ samples }: BenchInput) => {
    const flat = samples.map(() => 50000);
    const dark = samples.map(() => 100);
    const out = new Float32Array(samples.length);
    return () => step(samples, dark, flat, 1, out);
  };

/** Steps that give a picture of the same size. */
export const filters: BenchCase[] = [
  { name: "flat and log", setup: flatAndLog(logRatio), plain: flatAndLog(logRatioPlain) },
  filter(
    "gaussian 1.5",
    (image, out) => gaussianBlur(image, 1.5, out),
    (image, out) => gaussianBlurPlain(image, 1.5, out),
  ),
  filter(
    "gaussian 8",
    (image, out) => gaussianBlur(image, 8, out),
    (image, out) => gaussianBlurPlain(image, 8, out),
  ),
  filter(
    "box mean 31",
    (image, out) => boxMean(image, 15, out),
    (image, out) => boxMeanPlain(image, 15, out),
  ),
  {
    name: "box mean and variance 31",
    setup:
      ({ image }) =>
      () =>
        boxMeanVariance(image, 15),
    plain:
      ({ image }) =>
      () =>
        boxMeanVariancePlain(image, 15),
  },
  filter(
    "median 3",
    (image, out) => medianFilter(image, 3, out),
    (image, out) => medianFilterPlain(image, 3, out),
  ),
  filter(
    "opening disc 15",
    (image, out) => openGrey(image, 7, "disc", out),
    (image, out) => dilateGreyPlain(dilateGreyPlain(image, 7), 7, "disc", out),
  ),
];
