import { describe, expect, it } from "vitest";
import { needsProgram, needsPythonModule, needsShared, pythonProgram } from "./needs.ts";

describe("needs", () => {
  it("finds what is there", () => {
    expect(needsProgram("node")).toEqual({ name: "program node", available: true, reason: "" });
    expect(needsShared("..").available).toBe(true);
  });

  it("says what is not there, and where it looked", () => {
    expect(needsProgram("no-such-program")).toEqual({
      name: "program no-such-program",
      available: false,
      reason: "not found on PATH",
    });
    expect(needsShared("no-such-folder").reason).toBe("not beside this checkout");
    expect(needsPythonModule("no_such_module").reason).toMatch(/^not found by /);
  });

  it("asks Python itself for a module", () => {
    expect(needsPythonModule("json").available).toBe(pythonProgram() !== null);
  });
});
