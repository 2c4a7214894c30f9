import { describe, expect, it } from "vitest";
import { otherScale as otherScaleIn } from "./other-scale.ts";
import type { PlacedLot } from "./place-lot.ts";

const identity = { a: 1, b: 0, c: 0, d: 0, e: 1, f: 0 };

const otherScale = (lot: PlacedLot) => otherScaleIn(lot, new Map());

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

  it("compares each part with the size that belongs to its place where the picture is in perspective", () => {
    const lot = lotAt([1.03, 1, 1, 1, 1]);
    const falling = new Map([["tray", { range: 0.05, sizeAt: () => 1 }]]);
    expect(otherScaleIn(lot, falling)[0]).not.toBeNull();
    const first = { range: 0.05, sizeAt: ([x]: readonly [number, number]) => (x < 50 ? 1.03 : 1) };
    const moved = lotAt([1.03, 1, 1, 1, 1]);
    Object.assign(moved.items[0]?.patch ?? {}, { toPicture: { ...identity, c: -20 } });
    expect(otherScaleIn(moved, new Map([["tray", first]]))).toEqual([null, null, null, null, null]);
  });

  it("says nothing where a picture holds fewer than four parts", () => {
    expect(otherScale(lotAt([1, 1, 1.1]))).toEqual([null, null, null]);
  });
});
