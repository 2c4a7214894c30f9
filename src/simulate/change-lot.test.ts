import { describe, expect, it } from "vitest";
import { changeLot } from "./change-lot.ts";
import { LotSpecError } from "./errors.ts";
import { lotPresets } from "./presets.ts";

const counts = (name: string, parts: number) =>
  changeLot(lotPresets[name], { parts }).constructions.map((c) => c.count);

describe("changeLot", () => {
  it("keeps the share of other constructions, at least one part each", () => {
    expect(counts("other-die-8-percent", 80)).toEqual([74, 6]);
    expect(counts("other-die-8-percent", 8)).toEqual([7, 1]);
    expect(counts("half-half", 10)).toEqual([5, 5]);
  });

  it("sets tube voltage, noise and scale, and keeps the field of view", () => {
    const spec = changeLot(lotPresets["so8-null"], { kv: 100, openBeamSnr: 120, umPerPx: 27 });
    expect(spec.exposures.map((e) => [e.kv, e.detector.openBeamSnr])).toEqual([[100, 120]]);
    expect(spec.layout).toEqual({ kind: "single", widthPx: 240, heightPx: 240 });
    expect(spec.mmPerPx).toBe(0.027);
    expect(changeLot(spec, {})).toBe(spec);
  });

  it("refuses what cannot be drawn, and names it", () => {
    const so8 = lotPresets["so8-null"];
    expect(() => changeLot(so8, { kv: 200 })).toThrow(/kV/);
    expect(() => changeLot(so8, { umPerPx: 0.1 })).toThrow(/um per px/);
    expect(() => changeLot(lotPresets["exposure-mix"], { kv: 80 })).toThrow(/at several/);
    expect(() => changeLot(lotPresets["wire-faults"], { parts: 2 })).toThrow(LotSpecError);
  });
});
