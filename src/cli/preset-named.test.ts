import { describe, expect, it } from "vitest";
import { UsageError } from "./errors.ts";
import { nearestNames, presetNamed } from "./preset-named.ts";

describe("presetNamed", () => {
  it("gives a known preset, changed", () => {
    expect(presetNamed("so8-null", { kv: 90 }).exposures[0].kv).toBe(90);
  });

  it("names the nearest known ones of an unknown name, and no property of objects is one", () => {
    expect(() => presetNamed("so8-nul", {})).toThrow(/Nearest: so8-null,/);
    expect(() => presetNamed("constructor", {})).toThrow(UsageError);
  });

  it("says what a change must be", () => {
    expect(() => presetNamed("so8-null", { kv: 500 })).toThrow(UsageError);
    expect(() => presetNamed("so8-null", { kv: 500 })).toThrow(/kV to be above 10 and at most 160; got 500/);
  });
});

describe("nearestNames", () => {
  it("puts names that hold the word first, then those with the fewest changed letters", () => {
    expect(nearestNames("die", ["tin", "a-die-b", "dye"])).toEqual(["a-die-b", "dye", "tin"]);
  });
});
