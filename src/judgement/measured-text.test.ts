import { describe, expect, it } from "vitest";
import { measured, notMeasured } from "../units/measured.ts";
import { characteristicText, measuredText, roundByDoubt, roundMeasured, sizeText } from "./measured-text.ts";

describe("roundByDoubt", () => {
  // Hand-worked.
  it.each([
    [1.692345, 0.01234, 1.692, 0.012, 3],
    [1.6967, 0.0996, 1.7, 0.1, 2],
    [12345, 127, 12350, 130, -1],
    [-0.0004, 0.1, 0, 0.1, 2],
    [16, 0, 16, 0, 0],
    [0.1234567, 0, 0.123457, 0, 6],
  ])("%d with U %d", (value, U, keptValue, keptU, decimals) => {
    const kept = roundByDoubt(value, U);
    expect(kept).toEqual({ value: keptValue, U: keptU, decimals });
    expect(Object.is(kept.value, -0)).toBe(false);
  });

  it("changes nothing when done twice", () => {
    for (const u of [0.0049951, 0.0777, 0.4999, 3.21, 98.7]) {
      const once = roundMeasured(measured(17.31415926, u, "px"));
      expect(roundMeasured(once)).toEqual(once);
    }
  });
});

it("prints value, doubt and unit at the same place, or the reason", () => {
  expect(measuredText(measured(2.1, 0.005, "mm"))).toBe("2.100 ± 0.010 mm");
  expect(measuredText(measured(12345, 63.5, "um"))).toBe("12350 ± 130 µm");
  expect(measuredText(measured(16, 0, "1"))).toBe("16");
  expect(measuredText(notMeasured("mm", "no-scale"))).toBe("no scale");
  expect(sizeText(measured(0.01949, 0.003, "mm"))).toBe("0.019 mm");
});

it("names a characteristic in words", () => {
  expect(characteristicText("dieOffsetX")).toBe("die offset x");
  expect(characteristicText("die attach voids")).toBe("die attach voids");
});
