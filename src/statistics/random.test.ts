import { describe, expect, it } from "vitest";
import { seededRandom } from "./random.ts";

describe("seededRandom", () => {
  it("repeats itself for a seed and differs between seeds", () => {
    const draw = (seed: number) => Array.from({ length: 5 }, seededRandom(seed).uniform);
    expect(draw(1)).toEqual(draw(1));
    expect(draw(1)).not.toEqual(draw(2));
  });

  it("forks into streams that drawing elsewhere does not move", () => {
    const one = seededRandom(7);
    const before = one.fork("a").uniform();
    one.uniform();
    expect(one.fork("a").uniform()).toBe(before);
    expect(one.fork("b").uniform()).not.toBe(before);
  });

  it("draws normals with mean 0, variance 1, kurtosis 3 and no neighbour correlation", () => {
    const random = seededRandom("moments");
    const n = 100_000;
    const x = Float64Array.from({ length: n }, random.normal);
    const mean = (f: (v: number, i: number) => number) => x.reduce((s, v, i) => s + f(v, i), 0) / n;
    // Bounds: five standard errors of each moment.
    expect(Math.abs(mean((v) => v))).toBeLessThan(5 / Math.sqrt(n));
    expect(Math.abs(mean((v) => v * v) - 1)).toBeLessThan(5 * Math.sqrt(2 / n));
    expect(Math.abs(mean((v) => v ** 4) - 3)).toBeLessThan(5 * Math.sqrt(96 / n));
    expect(Math.abs(mean((v, i) => v * x[(i + 1) % n]))).toBeLessThan(5 / Math.sqrt(n));
  });

  it("orders every index once, each place equally likely", () => {
    const random = seededRandom("order");
    const counts = new Array<number>(4).fill(0);
    for (let k = 0; k < 4000; k++) {
      const order = random.order(4);
      expect([...order].sort()).toEqual([0, 1, 2, 3]);
      counts[order[0]]++;
    }
    for (const count of counts) expect(Math.abs(count - 1000)).toBeLessThan(5 * Math.sqrt(750));
  });
});
