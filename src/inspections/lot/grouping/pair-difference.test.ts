import { describe, expect, it } from "vitest";
import type { Image, Mask } from "../../../numeric/image.ts";
import { drawn, imageOf, largestDifference } from "../../../numeric/test-images.ts";
import { comparablePart, compareMask, pairDifference } from "./pair-difference.ts";

// Small pictures worked by hand: envelopes are the largest and smallest of 3 x 3 pixels.

/** A picture of 12 x 10 from a rule. */
function picture(value: (x: number, y: number) => number): Image {
  return imageOf(Array.from({ length: 10 }, (_, y) => Array.from({ length: 12 }, (_, x) => value(x, y))));
}

const pad = picture((x, y) => (x >= 3 && x < 9 && y >= 3 && y < 7 ? 1 : 0.2));
const everywhere: Mask = { width: 12, height: 10, data: new Uint8Array(120).fill(1) };
const compared = (image: Image, slackPx = 1) => comparablePart(image, image, slackPx);

describe("two parts compared", () => {
  it("do not differ when they are the same, or lie a pixel beside each other", () => {
    const beside = picture((x, y) => (x >= 4 && x < 10 && y >= 2 && y < 6 ? 1 : 0.2));
    expect(pairDifference(compared(pad), compared(pad), everywhere, 0)).toBe(0);
    expect(pairDifference(compared(pad), compared(beside), everywhere, 0)).toBe(0);
    // Two pixels beside is farther than the envelopes reach, until they reach as far.
    const farther = picture((x, y) => (x >= 5 && x < 11 && y >= 3 && y < 7 ? 1 : 0.2));
    expect(pairDifference(compared(pad), compared(farther), everywhere, 0)).toBeGreaterThan(0);
    expect(pairDifference(compared(pad, 2), compared(farther, 2), everywhere, 0)).toBe(0);
  });

  it("differ by what leaves the other's envelope beyond the tolerance, shared by all pixels", () => {
    // Without the pad 0.8 is missing on 6 x 4 pixels. Those beside its edge are covered by the pad's lower envelope,
    // 4 x 2 are left; 8 pixels of 0.8 less the tolerance of 0.1, over 120.
    const bare = picture(() => 0.2);
    expect(pairDifference(compared(pad), compared(bare), everywhere, 0.1)).toBeCloseTo((24 * 0.7) / 120, 6);
    expect(pairDifference(compared(bare), compared(pad), everywhere, 0.1)).toBeCloseTo((24 * 0.7) / 120, 6);
    expect(pairDifference(compared(pad), compared(bare), everywhere, 0.9)).toBe(0);
  });

  it("differ by a hole in one of them that is deeper than the envelopes reach", () => {
    // Envelopes of 5 x 5 see the rim from the hole's middle: the whole part is above nothing there, the hole is below
    // the whole part. All nine pixels of the hole count, 0.6 each.
    const whole = picture(() => 1);
    const holed = picture((x, y) => (Math.abs(x - 5) <= 1 && Math.abs(y - 5) <= 1 ? 0.4 : 1));
    expect(pairDifference(compared(whole, 2), compared(holed, 2), everywhere, 0)).toBeCloseTo(
      (9 * 0.6) / 120,
      6,
    );
    expect(pairDifference(compared(holed, 2), compared(whole, 2), everywhere, 0)).toBeCloseTo(
      (9 * 0.6) / 120,
      6,
    );
  });

  it("are compared where the mask selects, and nowhere else", () => {
    const bare = picture(() => 0.2);
    const left: Mask = { ...everywhere, data: everywhere.data.map((_, i) => (i % 12 < 3 ? 1 : 0)) };
    const none: Mask = { ...everywhere, data: new Uint8Array(120) };
    expect(pairDifference(compared(pad), compared(bare), left, 0)).toBe(0);
    expect(pairDifference(compared(pad), compared(bare), none, 0)).toBe(0);
  });

  it("do not differ by a wire of one or two pixels", () => {
    const wire = picture((x, y) => (y === 5 || y === 6 ? 1.5 : pad.data[y * 12 + x]));
    expect(pairDifference(compared(pad), compared(wire), everywhere, 0)).toBe(0);
    const bar = picture((x, y) => (y >= 5 && y < 8 ? 1.5 : pad.data[y * 12 + x]));
    expect(pairDifference(compared(pad), compared(bar), everywhere, 0)).toBeGreaterThan(0);
  });

  it("take the lot's value where a part has none", () => {
    const cut = picture((x, y) => (x < 5 ? Number.NaN : pad.data[y * 12 + x]));
    const filled = comparablePart(cut, pad, 1);
    expect(largestDifference(filled.level, compared(pad).level)).toBe(0);
    const unknown = picture(() => Number.NaN);
    expect([...comparablePart(unknown, unknown, 1).level].every((v) => v === 0)).toBe(true);
  });
});

describe("where parts are compared", () => {
  it("is the body without what is left out", () => {
    // Body 6 x 4 around (4.5, 2.5): x 1.5 to 7.5, y 0.5 to 4.5. Left out 2 x 2 around (4.5, 2.5): 3.5 to 5.5.
    const body = { centrePx: [4.5, 2.5], angleRad: 0, lengthPx: 6, widthPx: 4 } as const;
    const die = { ...body, lengthPx: 2, widthPx: 2 };
    expect(drawn(compareMask(10, 6, body, [die]))).toEqual([
      "..........",
      "..######..",
      "..##..##..",
      "..##..##..",
      "..######..",
      "..........",
    ]);
  });
});
