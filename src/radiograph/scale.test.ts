import { describe, expect, test } from "vitest";
import { measured, notMeasured } from "../units/measured.ts";
import { ScaleError } from "./errors.ts";
import {
  noScale,
  scaleFromCalibratedTag,
  scaleFromReferenceLength,
  toMillimetres,
  typedScale,
} from "./scale.ts";

describe("scale", () => {
  test("typed without U says so in every millimetre", () => {
    const mm = toMillimetres(measured(200, 0.5, "px"), typedScale(20));
    expect(mm).toMatchObject({ value: 4, unit: "mm", note: "scale uncertainty not included" });
    if (mm.value !== null) expect(mm.U).toBeCloseTo(2 * 0.5 * 0.02, 12);
  });

  test("U of length and scale combine in quadrature", () => {
    // 1000 px of 10 um: from the length 2 * 3 px * 0.01 = 0.06 mm; from the scale 0.08 um * 1000 = 0.08 mm; together 0.1 mm.
    const mm = toMillimetres(measured(1000, 3, "px"), typedScale(10, 0.08));
    expect(mm).toMatchObject({ value: 10, unit: "mm" });
    if (mm.value !== null) expect(mm.U).toBeCloseTo(0.1, 12);
  });

  test("reference length: 9.9 +- 0.1 mm seen as 550 +- 1 px", () => {
    const scale = scaleFromReferenceLength({ value: 9.9, U: 0.1 }, measured(550, 0.5, "px"));
    expect(scale.origin).toBe("reference-length");
    expect(scale.umPerPx).toBeCloseTo(18, 12);
    expect(scale.U).toBeCloseTo(18 * Math.hypot(0.1 / 9.9, 1 / 550), 12);
  });

  test("without scale lengths stay pixels, and no number stays no number", () => {
    const px = measured(10, 1, "px");
    expect(toMillimetres(px, noScale)).toBe(px);
    expect(toMillimetres(notMeasured("px", "not-visible"), typedScale(5))).toEqual({
      value: null,
      unit: "mm",
      because: "not-visible",
    });
    const ratio = measured(0.5, 0.1, "1");
    expect(toMillimetres(ratio, typedScale(5))).toBe(ratio);
  });

  test("a tag counts only when asked for, with square pixels", () => {
    const tag = (x: number, y: number) => ({ taggedPitch: { umPerPxX: x, umPerPxY: y, source: "TIFF" } });
    expect(scaleFromCalibratedTag(tag(20, 20), 0.2)).toEqual({
      umPerPx: 20,
      U: 0.2,
      origin: "calibrated-tag",
    });
    expect(() => scaleFromCalibratedTag(tag(20, 25))).toThrow(ScaleError);
    expect(() => scaleFromCalibratedTag({})).toThrow(ScaleError);
  });

  test.each([0, -3, Number.NaN, Number.POSITIVE_INFINITY])("%d is no scale", (umPerPx) => {
    expect(() => typedScale(umPerPx)).toThrow(/Expected a positive number of um per px/);
  });

  test("a reference that wasn't measured gives no scale", () => {
    expect(() => scaleFromReferenceLength({ value: 5, U: 0 }, notMeasured("px", "out-of-field"))).toThrow(
      /out-of-field/,
    );
  });
});
