import { describe, expect, it } from "vitest";
import { base64 } from "./base64.ts";
import { averagesDifference, denserColour, differenceOverlay, lighterColour } from "./difference-overlay.ts";
import { displayWindow, greyPicture, shrinkTo } from "./display-picture.ts";

function image(width: number, height: number, values: readonly number[]) {
  return { width, height, data: Float32Array.from(values) };
}

it("encodes base64 as Node does, for every remainder", () => {
  for (let length = 0; length < 40; length++) {
    const bytes = Uint8Array.from({ length }, (_, at) => (at * 37 + length * 101) & 255);
    expect(base64(bytes)).toBe(Buffer.from(bytes).toString("base64"));
  }
});

describe("shrinkTo", () => {
  it("keeps the mean where cells are cut: 3 wide to 2", () => {
    const small = shrinkTo(image(3, 3, [0, 3, 6, 0, 3, 6, 0, 3, 6]), 2);
    expect([small.width, small.height]).toEqual([2, 2]);
    // Hand-worked: (0 + 3 / 2) / 1.5 and (3 / 2 + 6) / 1.5.
    expect([...small.data]).toEqual([1, 5, 1, 5]);
  });

  it("never enlarges", () => {
    const picture = image(2, 1, [1, 2]);
    expect(shrinkTo(picture, 9)).toBe(picture);
  });
});

describe("the display window", () => {
  it("covers all pictures, leaves out what is not finite, and is never empty", () => {
    const window = displayWindow([image(2, 1, [0, Number.NaN]), image(2, 1, [1, 1])]);
    expect(window.low).toBeCloseTo(-0.04, 6);
    expect(window.high).toBeCloseTo(1.04, 6);
    const flat = displayWindow([image(2, 1, [1, 1])]);
    expect(flat.high).toBeGreaterThan(flat.low);
    expect(displayWindow([])).toEqual({ low: 0, high: 1 });
  });

  it("shows denser darker, clips, and leaves what is not finite white", () => {
    const { data } = greyPicture(image(5, 1, [-1, 0, 0.5, 2, Number.NaN]), { low: 0, high: 1 });
    expect([...data]).toEqual([255, 255, 128, 0, 255]);
  });
});

describe("differenceOverlay", () => {
  const difference = image(4, 2, [0, 0.99, 1.2, 0, 0, 0, 0, -3]);

  it("marks only what exceeds the limit, denser and less dense in their colours", () => {
    const overlay = differenceOverlay(difference, 4);
    const pixel = (at: number) => [...(overlay?.data.subarray(4 * at, 4 * at + 3) ?? [])];
    const alpha = Array.from({ length: 8 }, (_, at) => (overlay?.data[4 * at + 3] ?? 0) > 0);
    expect(alpha).toEqual([false, false, true, false, false, false, false, true]);
    expect(pixel(2)).toEqual([...denserColour]);
    expect(pixel(7)).toEqual([...lighterColour]);
  });

  it("keeps a single marked pixel when made smaller, and is absent when nothing is marked", () => {
    const small = differenceOverlay(difference, 2);
    expect(small?.width).toBe(2);
    expect([...(small?.data.subarray(4, 7) ?? [])]).toEqual([...lighterColour]);
    expect(differenceOverlay(image(2, 1, [0.5, -0.5]), 2)).toBeNull();
  });

  it("has colours that stay apart in lightness", () => {
    const luma = ([r, g, b]: readonly number[]) => 0.2126 * r + 0.7152 * g + 0.0722 * b;
    expect(luma(lighterColour) - luma(denserColour)).toBeGreaterThan(50);
  });
});

it("takes averages' difference in multiples of the limit, after a 3 by 3 mean", () => {
  const here = image(3, 3, [0, 0, 0, 0, 9, 0, 0, 0, 0]);
  const there = image(3, 3, new Array(9).fill(0));
  const { data } = averagesDifference(here, there, 0.5);
  expect(data[4]).toBeCloseTo(2, 6);
  expect(data[0]).toBeCloseTo(4.5, 6);
});
