import { describe, expect, it } from "vitest";
import type { KnownLot, SaidPart } from "./lot-outcome.ts";
import { lotOutcome } from "./lot-outcome.ts";
import { sumOutcomes } from "./sum-outcomes.ts";

const square = (x: number) =>
  [
    [x, 0],
    [x + 10, 0],
    [x + 10, 10],
    [x, 10],
  ] as [number, number][];

/** Six parts in a row: two of another construction that is odd, one with a fault, three sound. */
const truth: KnownLot = {
  expected: { suspect_parts: ["p0", "p1", "p2"], number_of_constructions: 2 },
  images: [
    {
      file: "tray.tif",
      pixel_mm: 0.02,
      parts: [0, 1, 2, 3, 4, 5].map((i) => ({
        id: `p${i}`,
        construction: i < 2 ? "g1" : "g0",
        body_corners_px: square(20 * i),
        ...(i === 2 ? { faults: [{ kind: "wire-absent" }] } : {}),
      })),
    },
  ],
};

const said = (i: number, more: Partial<SaidPart> = {}): SaidPart => ({
  id: `tray.tif#${i + 1}`,
  picture: "some/folder/tray.tif",
  cornersPx: square(20 * i + 1),
  assessable: true,
  suspect: false,
  group: "A",
  calls: [],
  ...more,
});

const right = [
  said(0, { suspect: true, group: "B" }),
  said(1, { suspect: true, group: "B" }),
  said(2, { suspect: true, calls: [{ kind: "wire-absent" }] }),
  said(3),
  said(4),
  said(5),
];

describe("lotOutcome", () => {
  it("finds nothing wrong in what is right", () => {
    const outcome = lotOutcome(truth, right);
    expect(outcome.odd.map(({ id, is, found }) => [id, is, found])).toEqual([
      ["p0", "other construction", true],
      ["p1", "other construction", true],
      ["p2", "wire-absent", true],
    ]);
    expect(outcome).toMatchObject({ parts: 6, sound: 3, falselySplit: false, toldApart: null, groups: 2 });
    expect([outcome.falselySuspect, outcome.falselyCalled, outcome.notFound, outcome.spurious]).toEqual([[], [], [], []]); // biome-ignore format: four empty lists
  });

  it("tells a miss from a part that was not found or not assessed", () => {
    const outcome = lotOutcome(truth, [said(1, { assessable: false }), said(2), said(3), said(4), said(5)]);
    expect(outcome.odd.map((p) => p.missedAs)).toEqual(["not-found", "not-assessed", "taken-for-sound"]);
    expect([outcome.notFound, outcome.notAssessed]).toEqual([["p0"], ["p1"]]);
  });

  it("counts false suspects, false calls, split lots and pieces that are no part", () => {
    const outcome = lotOutcome(truth, [
      ...right.slice(0, 3),
      said(3, { suspect: true, calls: [{ kind: "die" }], group: "C" }),
      said(4, { calls: [{ kind: "other" }] }),
      said(5),
      said(40),
    ]);
    expect(outcome.falselySuspect).toEqual([{ id: "p3", said: ["die"] }]);
    expect(outcome.falselyCalled.map((p) => p.id)).toEqual(["p3", "p4"]);
    expect(outcome.falselySplit).toBe(true);
    expect(outcome.spurious).toEqual(["tray.tif#41"]);
  });

  it("says whether two constructions of which neither is odd are told apart", () => {
    const half: KnownLot = { ...truth, expected: { suspect_parts: [], number_of_constructions: 2 } };
    expect(lotOutcome(half, right).toldApart).toBe(true);
    expect(lotOutcome(half, right.map((p) => ({ ...p, group: "A" }))).toldApart).toBe(false); // biome-ignore format: one lot
  });
});

describe("sumOutcomes", () => {
  it("counts parts over parts and lots over lots, with exact intervals", () => {
    const good = lotOutcome(truth, right);
    const blind = lotOutcome(truth, [0, 1, 2, 3, 4, 5].map((i) => said(i))); // biome-ignore format: one lot
    const sum = sumOutcomes([good, blind]);
    expect(sum).toMatchObject({ lots: 2, parts: 12 });
    // scipy 1.10.1, exact: 3 of 6 has 0.1181172 to 0.8818828.
    expect(sum.detected.low).toBeCloseTo(0.1181172, 6);
    expect(sum.detected.high).toBeCloseTo(0.8818828, 6);
    expect(sum.detectedByKind.map(({ what, detected }) => [what, detected.count, detected.of])).toEqual([
      ["other construction", 2, 4],
      ["wire-absent", 1, 2],
    ]);
    expect([sum.falselySplit.of, sum.falselySuspect.of, sum.toldApart.of]).toEqual([2, 6, 0]);
  });
});
