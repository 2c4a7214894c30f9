import { describe, expect, it } from "vitest";
import type { ExemplarFindings, ExemplarVerdict } from "../result.ts";
import { lotIdentity } from "./identity.ts";

/** An exemplar that lies so to groups A, B, ... */
function exemplar(...verdicts: ExemplarVerdict[]): ExemplarFindings {
  return {
    against: verdicts.map((verdict, g) => ({
      group: "ABC"[g] as string,
      verdict,
      otherCode: false,
      because: [],
      compared: [],
    })),
  } as unknown as ExemplarFindings;
}

const tenAndTwo = [0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 1, 1];
const half = [0, 0, 0, 0, 0, 1, 1, 1, 1, 1];

describe("lotIdentity", () => {
  it("names the small group odd without an exemplar", () => {
    const { identity, odd, verdicts } = lotIdentity(tenAndTwo, []);
    expect({ identity, odd: [...odd], verdicts }).toEqual({
      identity: "no-exemplar",
      odd: [1],
      verdicts: ["no-exemplar", "no-exemplar"],
    });
  });

  it("lets the exemplar decide which are odd, be they the most", () => {
    const { identity, odd } = lotIdentity(tenAndTwo, [exemplar("differs", "agrees")]);
    expect(identity).toBe("differs");
    expect([...odd]).toEqual([0]);
  });

  it("agrees when all but the odd ones do", () => {
    const { identity, odd } = lotIdentity(tenAndTwo, [exemplar("agrees", "differs")]);
    expect(identity).toBe("agrees-with-exemplar");
    expect([...odd]).toEqual([1]);
  });

  it("names the half that differs, where neither is small", () => {
    expect([...lotIdentity(half, []).odd]).toEqual([]);
    const { identity, odd } = lotIdentity(half, [exemplar("agrees", "differs")]);
    expect(identity).toBe("differs");
    expect([...odd]).toEqual([1]);
  });

  it("names nobody for differing from an exemplar of another code", () => {
    const { against, ...rest } = exemplar("agrees", "differs");
    const other = { ...rest, against: against.map((a) => ({ ...a, otherCode: true })) };
    expect([...lotIdentity(half, [other]).odd]).toEqual([]);
    expect(lotIdentity(half, [other]).identity).toBe("differs");
  });

  it("takes a group to agree that agrees with any of several exemplars", () => {
    const { identity, verdicts } = lotIdentity(half, [
      exemplar("agrees", "differs"),
      exemplar("differs", "agrees"),
    ]);
    expect(identity).toBe("agrees-with-exemplar");
    expect(verdicts).toEqual(["agrees", "agrees"]);
  });

  it("names nobody by the exemplar when all differ from it, and says so of the lot", () => {
    const { identity, odd } = lotIdentity(half, [exemplar("differs", "differs")]);
    expect(identity).toBe("differs");
    expect([...odd]).toEqual([]);
  });

  it("is not comparable when no exemplar that was given could be read", () => {
    const { identity, verdicts, odd } = lotIdentity(tenAndTwo, [], true);
    expect({ identity, verdicts, odd: [...odd] }).toEqual({
      identity: "not-comparable",
      verdicts: ["not-comparable", "not-comparable"],
      odd: [1],
    });
  });

  it("is not comparable when the exemplars are not", () => {
    expect(lotIdentity(half, [exemplar("not-comparable", "not-comparable")]).identity).toBe("not-comparable");
  });
});
