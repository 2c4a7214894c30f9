import { beforeAll, describe, expect, it } from "vitest";
import { comparedDrawnLot } from "../../../../test/support/drawn-lot.ts";
import { faultyTen } from "../../../../test/support/drawn-lots.ts";
import { drawnPart } from "../../../../test/support/drawn-part.ts";
import { slab } from "../../../../test/support/drawn-radiograph.ts";
import { betterReference } from "../placing/better-reference.ts";
import { splitFollows } from "./split-follows.ts";

// Parts are drawn (test/support/drawn-part.ts, drawn-lots.ts): what each holds and how it lies is known by construction.

/** A pad 60 x 52 in place of 60 x 40. */
const highPad = [...drawnPart(), slab(0.8, [-30, -26], [29, -21]), slab(0.8, [-30, 20], [29, 25])];

describe("a lot of ten with an empty package and a particle", () => {
  let all: Awaited<ReturnType<typeof comparedDrawnLot>>;
  beforeAll(async () => {
    all = await comparedDrawnLot(faultyTen.poses);
  });

  it("is one construction: neither makes another of its part", () => {
    expect(all.compared.groupOf).toEqual(faultyTen.poses.map(() => 0));
  });
});

describe("a lot in two halves", () => {
  it("is two constructions each with its own parts; the split follows nothing seen", async () => {
    const { lot, compared } = await comparedDrawnLot([
      {},
      { part: highPad },
      { turnDeg: 180 },
      { part: highPad, turnDeg: 1 },
      { turnDeg: -1 },
      { part: highPad, turnDeg: 181 },
    ]);
    expect(compared.groups).toBe(2);
    expect(new Set(compared.groupOf.filter((_, i) => i % 2 === 0)).size).toBe(1);
    expect(new Set(compared.groupOf.filter((_, i) => i % 2 === 1)).size).toBe(1);
    expect(splitFollows(lot, compared)).toEqual({ kind: "codes-unknown" });
    // The frame is given by a part of the first group, or a better one is named.
    const better = betterReference(lot, compared) ?? lot.reference;
    expect(compared.groupOf[better]).toBe(0);
  });
});
