import { describe, expect, it } from "vitest";
import { otherScale } from "./other-scale.ts";
import type { PlacedLot } from "./place-lot.ts";

const identity = { a: 1, b: 0, c: 0, d: 0, e: 1, f: 0 };

/** Parts of one picture at given scales. */
function lotAt(
  scales: readonly number[],
  pictures: readonly string[] = scales.map(() => "tray"),
  outlinesPx: readonly number[] | null = null,
): PlacedLot {
  const items = scales.map((scale, i) => ({
    picture: { picture: pictures[i] },
    patch: {
      body: { centrePx: [50, 50], angleRad: 0, lengthPx: 40, widthPx: 20 },
      part: {
        fit: outlinesPx && {},
        body: { lengthPx: outlinesPx?.[i] ?? 40, widthPx: (outlinesPx?.[i] ?? 40) / 2 },
      },
      toPicture: identity,
    },
    aligned: { scale },
  }));
  return { items } as unknown as PlacedLot;
}

describe("otherScale", () => {
  it("calls a part that lies higher, without suspecting it", () => {
    const [high, ...others] = otherScale(lotAt([1.03, 1, 1.001, 0.999, 1]));
    expect(high).toMatchObject({ suspect: false, call: { kind: "other" } });
    expect(high?.call.says).toMatch(/^3\.0 % larger/);
    expect(others).toEqual([null, null, null, null]);
  });

  it("suspects a part of another size than height makes", () => {
    expect(otherScale(lotAt([1, 1, 1, 1, 0.92]))[4]).toMatchObject({ suspect: true });
  });

  it("compares within a picture only: another picture may lie at another height as a whole", () => {
    const two = otherScale(lotAt([1, 1, 1, 1, 1.03, 1.03, 1.03, 1.03], [..."aaaabbbb"]));
    expect(two.every((s) => s === null)).toBe(true);
  });

  it("says nothing of a part whose own outline is no larger: it was laid a little too large", () => {
    const scales = [1.016, 1, 1, 1, 1];
    expect(otherScale(lotAt(scales, undefined, [40, 40, 40, 40, 40]))[0]).toBeNull();
    expect(otherScale(lotAt(scales, undefined, [40.6, 40, 40, 40, 40]))[0]).not.toBeNull();
  });

  it("says nothing where a picture holds fewer than four parts", () => {
    expect(otherScale(lotAt([1, 1, 1.1]))).toEqual([null, null, null]);
  });
});
