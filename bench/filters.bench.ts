import { boxMean, boxMeanPlain, boxMeanVariance, boxMeanVariancePlain } from "../src/numeric/box-mean.ts";
import { gaussianBlur, gaussianBlurPlain } from "../src/numeric/gaussian-blur.ts";
import { dilateGreyPlain, openGrey } from "../src/numeric/grey-morphology.ts";
import { logRatio, logRatioPlain } from "../src/numeric/logarithm.ts";
import { medianFilter, medianFilterPlain } from "../src/numeric/median-filter.ts";
import type { BenchCase } from "./bench-case.ts";

/** Steps that give a picture of the same size. */
export const filters: BenchCase[] = [
  {
    name: "flat and log",
    setup: ({ samples }) => {
      const flat = samples.map(() => 50000);
      const dark = samples.map(() => 100);
      return () => logRatio(samples, dark, flat, 1);
    },
    plain: ({ samples }) => {
      const flat = samples.map(() => 50000);
      const dark = samples.map(() => 100);
      return () => logRatioPlain(samples, dark, flat, 1);
    },
  },
  {
    name: "gaussian 1.5",
    setup:
      ({ image }) =>
      () =>
        gaussianBlur(image, 1.5),
    plain:
      ({ image }) =>
      () =>
        gaussianBlurPlain(image, 1.5),
  },
  {
    name: "gaussian 8",
    setup:
      ({ image }) =>
      () =>
        gaussianBlur(image, 8),
    plain:
      ({ image }) =>
      () =>
        gaussianBlurPlain(image, 8),
  },
  {
    name: "box mean 31",
    setup:
      ({ image }) =>
      () =>
        boxMean(image, 15),
    plain:
      ({ image }) =>
      () =>
        boxMeanPlain(image, 15),
  },
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
  {
    name: "median 3",
    setup:
      ({ image }) =>
      () =>
        medianFilter(image, 3),
    plain:
      ({ image }) =>
      () =>
        medianFilterPlain(image, 3),
  },
  {
    name: "opening disc 15",
    setup:
      ({ image }) =>
      () =>
        openGrey(image, 7),
    plain:
      ({ image }) =>
      () =>
        dilateGreyPlain(dilateGreyPlain(image, 7), 7),
  },
];
