import { beforeAll, describe, expect, it } from "vitest";
import { comparedDrawnLot } from "../../../../test/support/drawn-lot.ts";
import { faultyTen, oneLongDie } from "../../../../test/support/drawn-lots.ts";
import { drawnPart, drawnPartPx } from "../../../../test/support/drawn-part.ts";
import { slab } from "../../../../test/support/drawn-radiograph.ts";
import { noScale } from "../../../radiograph/scale.ts";
import { minorityGroups } from "../grouping/judge-groups.ts";
import type { CalledPart } from "./call-differences.ts";
import { callDifferences } from "./call-differences.ts";

// Parts are drawn (test/support/drawn-part.ts, drawn-lots.ts): what each holds and how it lies is known by construction.

const { empty, dirty } = faultyTen;

describe("a lot of ten with an empty package and a particle", () => {
  let called: readonly CalledPart[];
  beforeAll(async () => {
    const { lot, measured, compared } = await comparedDrawnLot(faultyTen.poses);
    called = callDifferences(lot, measured, compared, minorityGroups(compared.groupOf), noScale);
  });

  it("has the empty package called for its die, where the die would lie", () => {
    const { calls, oddness } = called[empty];
    expect(calls.map((c) => c.kind)).toEqual(["absent-die"]);
    expect(oddness).toBeGreaterThan(1);
    const [left, top, width, height] = calls[0].boxPx;
    // It lies at (120.3, 99.6), the die in its middle.
    expect(Math.abs(left + (width - 1) / 2 - 120.3)).toBeLessThan(1.5);
    expect(Math.abs(top + (height - 1) / 2 - 99.6)).toBeLessThan(1.5);
    expect(Math.abs(width - drawnPartPx.die[0])).toBeLessThan(5);
  });

  it("has the particle called as denser, where it lies", () => {
    const { calls } = called[dirty];
    expect(calls.map((c) => c.kind)).toEqual(["foreign"]);
    expect(calls[0].says).toMatch(/^denser than its group/);
    const [left, top, width, height] = calls[0].boxPx;
    // Drawn at (41.5, 21.5) from the middle, turned by a half: (120.3 - 41.5, 99.6 - 21.5).
    expect(left).toBeLessThan(78.8);
    expect(left + width).toBeGreaterThan(78.8);
    expect(top).toBeLessThan(78.1);
    expect(top + height).toBeGreaterThan(78.1);
    expect(width * height).toBeLessThan(14 * 14);
  });

  it("has nothing called on its good parts, one of them at another exposure", () => {
    for (const [i, { calls, oddness }] of called.entries()) {
      if ([empty, dirty].includes(i)) continue;
      expect(calls, `part ${i}`).toEqual([]);
      expect(oddness, `part ${i}`).toBeLessThan(1);
    }
  });

  it("shows in the difference picture of a part what is called, and nothing in a good one", () => {
    const strongest = (i: number) => called[i].excess.data.reduce((m, v) => Math.max(m, Math.abs(v)), 0);
    expect(strongest(empty)).toBeGreaterThan(5 * Math.max(1, strongest(0)));
  });
});

describe("a lot of ten with a thin strip along an edge in one, a square of the same weight in another", () => {
  it("calls the square: the strip is an edge that lies a little elsewhere", async () => {
    const strip = [...drawnPart(), slab(0.18, [-20, -31], [23, -29])];
    const square = [...drawnPart(), slab(0.18, [38, 18], [49, 28])];
    const { lot, measured, compared } = await comparedDrawnLot(
      faultyTen.poses.map((pose, i) => ({
        ...pose,
        part: i === 2 ? strip : i === 6 ? square : drawnPart(),
      })),
    );
    const called = callDifferences(lot, measured, compared, minorityGroups(compared.groupOf), noScale);
    expect(compared.groups).toBe(1);
    expect(called.map(({ calls }) => calls.length)).toEqual([0, 0, 0, 0, 0, 0, 1, 0, 0, 0]);
    expect(called[2].oddness).toBeGreaterThan(1 / 3);
  });
});

describe("a lot of nine with a longer die in one", () => {
  it("has the longer die called against the largest group", async () => {
    const { odd, poses } = oneLongDie;
    const { lot, measured, compared } = await comparedDrawnLot(poses);
    const called = callDifferences(lot, measured, compared, minorityGroups(compared.groupOf), noScale);
    expect(called[odd].oddness).toBeGreaterThan(1);
    // Drawn 8 px longer; nothing else is called.
    expect(called[odd].calls.map((c) => c.kind)).toEqual(["die"]);
    expect(called[odd].calls[0].says).toMatch(
      /^die longer by (7\.[5-9]|8\.[0-5]) px than in the largest group$/,
    );
    // The rest have an order too.
    const rest = called.filter((_, i) => i !== odd).map(({ oddness }) => oddness);
    expect(Math.min(...rest)).toBeGreaterThan(0);
    expect(Math.max(...rest)).toBeLessThan(1);
    expect(new Set(rest).size).toBeGreaterThan(4);
    called.forEach(({ calls }, i) => {
      if (i !== odd) expect(calls, `part ${i}`).toEqual([]);
    });
  });
});
