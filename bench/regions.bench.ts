import { absoluteDifference, accumulate } from "../src/numeric/arithmetic.ts";
import { labelComponents } from "../src/numeric/components.ts";
import { distanceTransform, fillHoles, open } from "../src/numeric/morphology.ts";
import { median } from "../src/numeric/order.ts";
import { histogram, otsuThreshold } from "../src/numeric/threshold.ts";
import type { BenchCase } from "./bench-case.ts";

/** Steps over masks and over all values. */
export const regions: BenchCase[] = [
  {
    name: "components",
    setup:
      ({ mask }) =>
      () =>
        labelComponents(mask, 8),
  },
  {
    name: "distance transform",
    setup:
      ({ mask }) =>
      () =>
        distanceTransform(mask),
  },
  {
    name: "binary opening disc 3",
    setup:
      ({ mask }) =>
      () =>
        open(mask, 3),
  },
  {
    name: "fill holes",
    setup:
      ({ mask }) =>
      () =>
        fillHoles(mask),
  },
  {
    name: "median of all",
    setup:
      ({ image }) =>
      () =>
        median(image.data),
  },
  {
    name: "otsu",
    setup:
      ({ image }) =>
      () =>
        otsuThreshold(histogram(image.data, 256, -0.2, 1.5)),
  },
  {
    name: "absolute difference",
    setup:
      ({ image }) =>
      () =>
        absoluteDifference(image, image),
  },
  {
    name: "accumulate",
    setup: ({ image }) => {
      const sum = { ...image, data: image.data.slice() };
      return () => accumulate(sum, image, 0.1);
    },
  },
];
