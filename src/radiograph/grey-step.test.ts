import { describe, expect, test } from "vitest";
import { greyHistogram } from "./grey-histogram.ts";
import { greyStep } from "./grey-step.ts";
import { inventedPicture } from "./invented-picture.ts";

const ramp = (step: number, extra: number[] = []): Uint16Array =>
  Uint16Array.from([...Array.from({ length: 4000 }, (_, i) => (i % 97) * step), ...extra]);

describe("greyStep", () => {
  test.each([1, 2, 8, 12, 16, 257])("finds a step of %i", (step) => {
    expect(greyStep(greyHistogram(ramp(step)))).toBe(step);
  });

  test("a ceiling off the step doesn't hide it", () => {
    expect(greyStep(greyHistogram(ramp(8, new Array(900).fill(4095))))).toBe(8);
  });

  test("three repaired pixels in four thousand don't hide it, forty do", () => {
    expect(greyStep(greyHistogram(ramp(8, [13, 27, 101])))).toBe(8);
    expect(
      greyStep(
        greyHistogram(
          ramp(
            8,
            Array.from({ length: 40 }, (_, i) => 8 * i + 3),
          ),
        ),
      ),
    ).toBe(1);
  });

  test("an offset grid (remainder 5) is still a step of 8", () => {
    expect(greyStep(greyHistogram(ramp(8).map((v) => v + 5)))).toBe(8);
  });

  test("interpolated values give 1", () => {
    const source = inventedPicture({
      widthPx: 80,
      heightPx: 60,
      grey: (x) => 500 + 20 * x,
      gain: 1,
      step: 8,
    }).samples;
    const between = Uint16Array.from(source.slice(1), (v, i) => Math.round(0.7 * v + 0.3 * source[i]));
    expect(greyStep(greyHistogram(between))).toBe(1);
  });

  test("fractional data show no step", () => {
    expect(greyStep(greyHistogram(Float32Array.from({ length: 500 }, (_, i) => i * 0.37)))).toBe(0);
  });

  test("whole numbers in a float file do", () => {
    expect(greyStep(greyHistogram(Float32Array.from(ramp(4))))).toBe(4);
  });
});
