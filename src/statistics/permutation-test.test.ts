import { describe, expect, it } from "vitest";
import { permutationTest } from "./permutation-test.ts";
import { seededRandom } from "./random.ts";

const mean = (values: readonly number[]) => values.reduce((sum, v) => sum + v, 0) / values.length;
const apart = (values: readonly number[]) => (first: readonly boolean[]) =>
  Math.abs(mean(values.filter((_, i) => first[i])) - mean(values.filter((_, i) => !first[i])));

describe("permutationTest", () => {
  it("gives the exact p of a difference of means within what its draws allow", () => {
    // scipy 1.10.1 stats.permutation_test, all arrangements, |mean a - mean b|, alternative "greater".
    const cases = [
      { a: [4.1, 4.3, 4.0, 4.4, 4.25], b: [4.6, 4.2, 4.7, 4.5, 4.65, 4.55], p: 8 / 462 },
      { a: [4.1, 4.3, 4.0, 4.4], b: [4.6, 4.2, 4.7], p: 5 / 35 },
    ];
    for (const { a, b, p } of cases) {
      const values = [...a, ...b];
      const first = values.map((_, i) => i < a.length);
      const draws = 20000;
      const result = permutationTest(
        first,
        values.map((_, i) => i),
        [apart(values)],
        draws,
        seededRandom(1),
      );
      // Three standard deviations of a counted share.
      expect(Math.abs(result.p - p)).toBeLessThan(3 * Math.sqrt((p * (1 - p)) / draws) + 1 / draws);
    }
  });

  it("rejects no more often than its level when labels mean nothing, however many statistics are looked at", () => {
    const random = seededRandom("null");
    let rejected = 0;
    const lots = 400;
    for (let lot = 0; lot < lots; lot++) {
      const first = Array.from({ length: 14 }, (_, i) => i < 4);
      const statistics = Array.from({ length: 6 }, () => apart(first.map(() => random.normal())));
      const result = permutationTest(
        first,
        first.map((_, i) => i),
        statistics,
        199,
        random,
      );
      if (result.p <= 0.05) rejected++;
    }
    // Level 0.05: 20 of 400 expected; 34 is three standard deviations above.
    expect(rejected).toBeLessThan(34);
    expect(rejected).toBeGreaterThan(7);
  });

  it("takes whole pictures as the unit where no picture holds both groups", () => {
    // Three pictures of four parts each: the third differs from chance of its own, as pictures do.
    const values = [1, 1.1, 0.9, 1, 1.3, 1.2, 1.3, 1.4, 2, 2.1, 1.9, 2];
    const blockOf = values.map((_, i) => Math.floor(i / 4));
    const first = blockOf.map((b) => b === 2);
    const result = permutationTest(first, blockOf, [apart(values)], 999, seededRandom(3));
    expect(result.leastP).toBeCloseTo(1 / 3, 9);
    expect(result.p).toBeGreaterThan(0.25);
  });

  it("exchanges labels inside pictures where they hold both groups", () => {
    // Pictures differ by 10, groups by 1: only within pictures is the difference clear.
    const values = [1, 2, 2, 2.1, 11, 12, 12.1, 12, 21, 22, 22, 22.1];
    const blockOf = values.map((_, i) => Math.floor(i / 4));
    const first = values.map((_, i) => i % 4 === 0);
    const result = permutationTest(first, blockOf, [apart(values)], 1999, seededRandom(4));
    expect(result.leastP).toBeCloseTo(1 / 64, 9);
    expect(result.p).toBeLessThan(0.04);
  });
});
