import { describe, expect, it } from "vitest";
import type { PointPx } from "../../../numeric/image.ts";
import { measured } from "../../../units/measured.ts";
import type { PlacedItem } from "../lot-item.ts";
import type { LotMeasurements } from "../result.ts";
import { measurableIn, perspectives } from "./perspective.ts";

const places = [0, 1, 2, 3].flatMap((row) => [0, 1, 2].map((column): PointPx => [100 * column, 80 * row]));

function itemsAt(sizeOf: (at: PointPx, i: number) => number, of: readonly PointPx[] = places): PlacedItem[] {
  return of.map(
    (at, i) =>
      ({
        picture: { picture: "tray" },
        patch: { body: { centrePx: at }, toPicture: { a: 1, b: 0, c: 0, d: 0, e: 1, f: 0 } },
        aligned: { scale: sizeOf(at, i) },
      }) as unknown as PlacedItem,
  );
}

/** Size of what lies on a plane at a slope, by the geometry of a pinhole: inverse to its distance. */
const aslant =
  (share: number) =>
  ([, y]: PointPx) =>
    1 / (1 + (share * y) / 240);

describe("perspectives", () => {
  it("finds how size runs over a picture that a pinhole took from aslant", () => {
    const found = perspectives(itemsAt(aslant(0.12))).get("tray");
    expect(found?.range).toBeCloseTo(0.12, 2);
    const far = found?.sizeAt([100, 240]) ?? 0;
    const near = found?.sizeAt([100, 0]) ?? 0;
    expect(near / far).toBeCloseTo(1.12, 2);
  });

  it("is not led astray by two parts of another size", () => {
    const found = perspectives(itemsAt((at, i) => aslant(0.12)(at) * (i === 4 || i === 9 ? 0.9 : 1)));
    expect(found.get("tray")?.range).toBeCloseTo(0.12, 1);
  });

  it("follows a single row, which says nothing across it", () => {
    const row = [0, 1, 2, 3, 4, 5].map((k): PointPx => [0, 48 * k]);
    expect(perspectives(itemsAt(aslant(0.05), row)).get("tray")?.range).toBeCloseTo(0.05, 2);
  });

  it("finds none in parts that lie flat, in one larger part, nor in sizes without order", () => {
    expect(perspectives(itemsAt(() => 1)).size).toBe(0);
    expect(perspectives(itemsAt((_, i) => (i === 3 ? 1.05 : 1))).size).toBe(0);
    expect(perspectives(itemsAt((_, i) => 1 + 0.03 * ((i * 7) % 5))).size).toBe(0);
  });
});

describe("measurableIn", () => {
  const measurements = {
    dieLength: measured(50, 0.5, "px"),
    leads: measured(8, 0, "1"),
  } as unknown as LotMeasurements;

  it("withholds lengths in a strong perspective, and nothing else", () => {
    const told = measurableIn({ range: 0.12, sizeAt: () => 1 }, measurements);
    expect(told.dieLength).toEqual({ value: null, unit: "px", because: "perspective" });
    expect(told.leads).toBe(measurements.leads);
  });

  it("leaves them where size runs by little", () => {
    expect(measurableIn({ range: 0.02, sizeAt: () => 1 }, measurements)).toBe(measurements);
  });
});
