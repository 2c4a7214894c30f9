import { beforeAll, expect, it } from "vitest";
import { runFolder } from "../../scripts/score-lots/run-folder.ts";
import type { Score } from "../../scripts/score-lots/score-lot.ts";
import { scoreLot } from "../../scripts/score-lots/score-lot.ts";
import { describeNeeding, needsShared, sharedPath } from "../support/needs.ts";

// The truth is written by the simulation that drew the pictures (truth.json beside them): which part is of which
// construction, which are suspect, and where the corners of body and die lie. It shares no code with the inspection.
const lots = [
  {
    lot: "A2",
    holds: "37 of one construction and 3 of another, in seven trays",
    suspects: 3,
    dies: 40,
    wires: 2160,
  },
  { lot: "A5", holds: "40 of one construction, two of them without a die", suspects: 2, dies: 38, wires: 0 },
  {
    lot: "A6",
    holds: "12 each of two constructions, so that neither is the odd one",
    suspects: 0,
    dies: 24,
    wires: 192,
  },
  { lot: "A10", holds: "40 of one construction, one a picture", suspects: 0, dies: 40, wires: 320 },
];

for (const { lot, holds, suspects, dies, wires } of lots) {
  describeNeeding(needsShared(`simulated/${lot}`), `lot ${lot}: ${holds}`, () => {
    let score: Score;
    beforeAll(async () => {
      const folder = sharedPath(`simulated/${lot}`);
      score = scoreLot(folder, await runFolder(folder));
    }, 180_000);

    it("has every part found and judged, and nothing found that is no part", () => {
      const { whole, found, spurious, wholeNotAssessed } = score.tally;
      expect({ found, spurious, wholeNotAssessed }).toEqual({
        found: whole,
        spurious: 0,
        wholeNotAssessed: 0,
      });
    });

    it("is sorted into its constructions", () => {
      expect(score.tally.groupsEqual, score.wrong.join("\n")).toBe(true);
      expect(score.wrong.filter((w) => w.startsWith("conclusion"))).toEqual([]);
    });

    it("has exactly its odd parts called suspect", () => {
      expect(score.tally, score.wrong.join("\n")).toMatchObject({
        suspects,
        hit: suspects,
        missed: 0,
        falselySuspect: 0,
      });
    });

    it("has its dies measured to 1 % or 1 px, none off by more than 2 % or 1.5 px, 95 % within their uncertainty", () => {
      for (const errors of [score.lengths.dieLength, score.lengths.dieWidth]) {
        expect(errors).toHaveLength(dies);
        const far = errors.filter((e) => Math.abs(e.errorPx) > Math.max(0.02 * e.truePx, 1.5));
        expect(far).toEqual([]);
        const close = errors.filter((e) => Math.abs(e.errorPx) <= Math.max(0.01 * e.truePx, 1)).length;
        expect(close / dies).toBeGreaterThan(0.95);
        const covered = errors.filter((e) => Math.abs(e.errorPx) <= e.expandedPx).length;
        expect(covered / dies).toBeGreaterThanOrEqual(0.95);
      }
    });

    it(
      wires
        ? `has its ${wires} wires told: 99 % rightly, none wrongly called`
        : "has its thin aluminium wires left open, none called missing",
      () => {
        expect(score.wires.wrong).toEqual([]);
        expect(score.wires.right).toBeGreaterThanOrEqual(0.99 * wires);
        expect(score.wires.right).toBeLessThanOrEqual(wires);
      },
    );

    it("has its bodies outlined: corners within 2 px, nineteen of twenty within 1.5 px", () => {
      expect(score.cornerErrorsPx).toHaveLength(4 * score.tally.whole);
      expect(Math.max(...score.cornerErrorsPx)).toBeLessThan(2);
      const sorted = [...score.cornerErrorsPx].sort((p, q) => p - q);
      expect(sorted[Math.floor(0.95 * sorted.length)]).toBeLessThan(1.5);
    });
  });
}
