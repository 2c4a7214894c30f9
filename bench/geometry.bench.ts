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

const transform = (step: typeof fft2) => (input: BenchInput) => {
  const cut = corner(input, 1024);
  const spectrum = { width: 1024, height: 1024, re: cut.data, im: new Float32Array(1024 * 1024) };
  return () => step(spectrum);
};

const reduce =
  (step: typeof reduceBy, factor: number) =>
  ({ image }: BenchInput) => {
    const out = createImage(Math.ceil(image.width / factor), Math.ceil(image.height / factor));
    return () => step(image, factor, out);
  };

const warp =
  (step: typeof warpAffine) =>
  ({ image }: BenchInput) => {
    const out = createImage(image.width, image.height);
    return () => step(image, turn, image.width, image.height, 0, out);
  };

/** Steps that change a picture's frame, or compare two frames. */
export const geometry: BenchCase[] = [
  { name: "reduce by 2", setup: reduce(reduceBy, 2), plain: reduce(reduceByPlain, 2) },
  { name: "reduce by 4", setup: reduce(reduceBy, 4), plain: reduce(reduceByPlain, 4) },
  { name: "warp", setup: warp(warpAffine), plain: warp(warpAffinePlain) },
  { name: "fft 1024", setup: transform(fft2), plain: transform(fft2Plain) },
  {
    name: "phase correlation 256",
    setup: (input) => {
      const cut = corner(input, 256);
      return () => phaseCorrelation(cut, cut);
    },
  },
];
