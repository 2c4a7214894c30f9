import { describe, expect, it } from "vitest";
import { UsageError } from "./errors.ts";
import { parseSimulateRequest } from "./simulate-request.ts";

const parse = (line: string) => parseSimulateRequest(line.split(" "));

describe("parseSimulateRequest", () => {
  it("reads the four ways of use", () => {
    expect(parse("--list")).toEqual({ kind: "list" });
    expect(parse("so8-null --seed 0 --into out --training --parts 9")).toEqual({
      kind: "training",
      preset: "so8-null",
      seed: 0,
      into: "out",
      changes: { parts: 9 },
    });
    expect(parse("so8-null --seed 4 --lots 3 --performance - --kv 90.5 --um-per-px 20 --snr 300")).toEqual({
      kind: "performance",
      preset: "so8-null",
      seed: 4,
      lots: 3,
      json: "-",
      changes: { kv: 90.5, umPerPx: 20, openBeamSnr: 300 },
    });
    expect(parse("--mark a.csv --truth t.json")).toEqual({ kind: "mark", answers: "a.csv", truth: "t.json" });
  });

  it.each([
    ["--list so8-null", /stands alone/],
    ["so8-null --into out", /--seed N is needed/],
    ["so8-null --seed 1", /--into DIR is needed/],
    ["so8-null --seed 1.5 --into out", /--seed takes a whole number from 0 on, not "1.5"/],
    ["so8-null --seed 1e3 --into out", /--seed/],
    ["so8-null --seed 1 --into out --parts 0", /--parts takes a whole number from 1 on/],
    ["so8-null --seed 1 --into out --kv soft", /--kv takes a number above 0/],
    ["so8-null --seed 1 --lots 4", /goes with --lots/],
    ["so8-null --seed 1 --lots 4 --performance - --training", /without --into and --training/],
    ["--mark a.csv", /belong together/],
    ["so8-null qfn --seed 1 --into out", /One preset/],
    ["so8-null --seed 1 --into out --colour", /--colour/],
  ])("refuses %s", (line, message) => {
    expect(() => parse(line)).toThrow(UsageError);
    expect(() => parse(line)).toThrow(message);
  });
});
