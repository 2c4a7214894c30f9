import { absoluteDifference, accumulate } from "../src/numeric/arithmetic.ts";
import { labelComponents } from "../src/numeric/components.ts";
import type { Image, Mask } from "../src/numeric/image.ts";
import { createImage } from "../src/numeric/image.ts";
import { dilatePlain, distanceTransform, erodePlain, fillHoles, open } from "../src/numeric/morphology.ts";
import { median } from "../src/numeric/order.ts";
import { stackQuantile, stackQuantilePlain } from "../src/numeric/stack-quantile.ts";
import { histogram, otsuThreshold } from "../src/numeric/threshold.ts";
import type { BenchCase, BenchInput } from "./bench-case.ts";

const ofMask =
  (step: (mask: Mask) => unknown) =>
  ({ mask }: BenchInput) =>
  () =>
    step(mask);

const ofImage =
  (step: (image: Image) => unknown) =>
  ({ image }: BenchInput) =>
  () =>
    step(image);

/** Forty parts of 300 x 300: values of the picture from every 22nd row on. The reference takes the same. */
const fortyParts =
  (step: typeof stackQuantile) =>
  ({ image: { width, data } }: BenchInput) => {
    const parts = Array.from({ length: 40 }, (_, k) => ({
      width: 300,
      height: 300,
      data: data.slice(22 * k * width, 22 * k * width + 90000),
    }));
    return () => step(parts, 0.5);
  };

/** Steps over masks, over all values, and across pictures. */
export const regions: BenchCase[] = [
  { name: "components", setup: ofMask((mask) => labelComponents(mask, 8)) },
  { name: "distance transform", setup: ofMask(distanceTransform) },
  {
    name: "binary opening disc 3",
    setup: ofMask((mask) => open(mask, 3)),
    plain: ofMask((mask) => dilatePlain(erodePlain(mask, 3), 3)),
  },
  { name: "fill holes", setup: ofMask(fillHoles) },
  { name: "median of all", setup: ofImage((image) => median(image.data)) },
  { name: "otsu", setup: ofImage((image) => otsuThreshold(histogram(image.data, 256, -0.2, 1.5))) },
  { name: "median of 40 parts", setup: fortyParts(stackQuantile), plain: fortyParts(stackQuantilePlain) },
  {
    name: "absolute difference",
    setup: ({ image }) => {
      const out = createImage(image.width, image.height);
      return () => absoluteDifference(image, image, out);
    },
  },
  {
    name: "accumulate",
    setup: ({ image }) => {
      const sum = { ...image, data: image.data.slice() };
      return () => accumulate(sum, image, 0.1);
    },
  },
];
