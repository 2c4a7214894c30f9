import { describe, expect, it } from "vitest";
import { measured, notMeasured } from "../units/measured.ts";
import { differenceFromGroup, groupMeasurement } from "./group-measurements.ts";

const mm = (value: number) => measured(value, 0.005, "mm");

describe("groupMeasurement", () => {
  it("takes median and spread, hand-worked: 1.0 1.1 1.2 1.3 2.0", () => {
    const group = groupMeasurement([1, 1.1, 1.2, 1.3, 2].map(mm));
    // Deviations from 1.2: 0 0.1 0.1 0.2 0.8, median 0.1.
    expect(group).toMatchObject({ median: 1.2, parts: 5, unit: "mm" });
    if (group.median === null) throw new Error("expected a median");
    expect(group.spread).toBeCloseTo(0.14826, 10);
    expect(group.U).toBeCloseTo(0.29652, 10);
  });

  it("never doubts less than the parts do, and states no spread of three", () => {
    expect(groupMeasurement([1, 1, 1, 1].map(mm))).toMatchObject({ spread: 0, U: 0.01 });
    expect(groupMeasurement([1, 2, 3].map(mm))).toMatchObject({ spread: null, median: 2 });
  });

  it("gives the commonest reason when most parts have no number", () => {
    const values = [
      mm(1),
      notMeasured("mm", "saturated"),
      notMeasured("mm", "saturated"),
      notMeasured("mm", "no-scale"),
    ];
    expect(groupMeasurement(values)).toEqual({ median: null, because: "saturated" });
    expect(groupMeasurement([])).toEqual({ median: null, because: "not-assessed" });
  });
});

describe("differenceFromGroup", () => {
  const group = groupMeasurement([1, 1, 1, 1].map(mm));

  it("is outside only beyond both doubts together", () => {
    expect(differenceFromGroup(mm(1.014), group)?.outside).toBe(false);
    expect(differenceFromGroup(mm(1.0145), group)?.outside).toBe(true);
    expect(differenceFromGroup(notMeasured("mm", "saturated"), group)).toBeNull();
    expect(differenceFromGroup(measured(1, 0.1, "px"), group)).toBeNull();
  });
});
