import { fft2, fft2Plain } from "../src/numeric/fft.ts";
import { createImage } from "../src/numeric/image.ts";
import { phaseCorrelation } from "../src/numeric/phase-correlation.ts";
import { reduceBy, reduceByPlain } from "../src/numeric/resample.ts";
import { warpAffine, warpAffinePlain } from "../src/numeric/warp.ts";
import type { BenchCase, BenchInput } from "./bench-case.ts";

/** A turn of 7 degrees with 2 % enlargement. The reference uses the same numbers. */
const turn = { a: 1.012, b: -0.1243, c: 80.3, d: 0.1243, e: 1.012, f: -60.7 };

function corner({ image }: BenchInput, side: number) {
  const cut = createImage(side, side);
  for (let y = 0; y < side; y++) {
    cut.data.set(image.data.subarray(y * image.width, y * image.width + side), y * side);
  }
  return cut;
}

const spectrum = (input: BenchInput, side: number) => {
  const cut = corner(input, side);
  return { width: side, height: side, re: cut.data, im: new Float32Array(side * side) };
};

/** Steps that change a picture's frame, or compare two frames. */
export const geometry: BenchCase[] = [
  {
    name: "reduce by 2",
    setup:
      ({ image }) =>
      () =>
        reduceBy(image, 2),
    plain:
      ({ image }) =>
      () =>
        reduceByPlain(image, 2),
  },
  {
    name: "reduce by 4",
    setup:
      ({ image }) =>
      () =>
        reduceBy(image, 4),
    plain:
      ({ image }) =>
      () =>
        reduceByPlain(image, 4),
  },
  {
    name: "warp",
    setup:
      ({ image }) =>
      () =>
        warpAffine(image, turn, image.width, image.height, 0),
    plain:
      ({ image }) =>
      () =>
        warpAffinePlain(image, turn, image.width, image.height, 0),
  },
  {
    name: "fft 1024",
    setup: (input) => {
      const z = spectrum(input, 1024);
      return () => fft2(z);
    },
    plain: (input) => {
      const z = spectrum(input, 1024);
      return () => fft2Plain(z);
    },
  },
  {
    name: "phase correlation 256",
    setup: (input) => {
      const cut = corner(input, 256);
      return () => phaseCorrelation(cut, cut);
    },
  },
];
