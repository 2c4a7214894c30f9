import { describe, expect, it } from "vitest";
import type { PointPx } from "./image.ts";
import { distanceFromLine, fitLine, fitLineRobust } from "./line-fit.ts";
import { noiseImage } from "./test-images.ts";

describe("fitLine", () => {
  it("passes through points in line, upright ones too", () => {
    const upright = fitLine([
      [3, 0],
      [3, 5],
      [3, 9],
    ]);
    expect(upright.direction[0]).toBeCloseTo(0, 12);
    expect(upright.direction[1]).toBeCloseTo(1, 12);
    expect(upright.sigmaPx).toBeCloseTo(0, 9);
    expect(distanceFromLine(upright, [5, 2])).toBeCloseTo(-2, 12);
  });

  it("weighs points", () => {
    const points: PointPx[] = [
      [0, 0],
      [10, 0],
      [5, 8],
    ];
    expect(fitLine(points, [1, 1, 0]).normal).toEqual([-0, 1]);
  });

  it("states an uncertainty that the scatter of repeated fits bears out", () => {
    const noise = noiseImage(60, 400, 7).data;
    const offsets: number[] = [];
    let stated = 0;
    for (let trial = 0; trial < 200; trial++) {
      const points: PointPx[] = Array.from({ length: 60 }, (_, i) => [
        i,
        noise[trial * 60 + i] + noise[(trial + 200) * 60 + i] - 1,
      ]);
      const line = fitLine(points);
      offsets.push(distanceFromLine(line, [29.5, 0]));
      stated += line.offsetU / 200;
    }
    const mean = offsets.reduce((s, v) => s + v, 0) / 200;
    const spread = Math.sqrt(offsets.reduce((s, v) => s + (v - mean) ** 2, 0) / 199);
    expect(spread / stated).toBeGreaterThan(0.8);
    expect(spread / stated).toBeLessThan(1.25);
  });
});

describe("fitLineRobust", () => {
  it("finds the line with two points in five elsewhere", () => {
    const noise = noiseImage(50, 1, 3).data;
    const points: PointPx[] = Array.from({ length: 50 }, (_, i) =>
      i % 5 < 2 ? [i, 20 + 10 * noise[i]] : [i, 0.1 * i + 0.1 * (noise[i] - 0.5)],
    );
    const line = fitLineRobust(points);
    expect(line.direction[1] / line.direction[0]).toBeCloseTo(0.1, 2);
    expect(line.weights.filter((w) => w > 0)).toHaveLength(30);
  });

  it("fits exact points without a fault", () => {
    const line = fitLineRobust([
      [0, 1],
      [1, 1],
      [2, 1],
      [3, 1],
      [4, 9],
    ]);
    expect(distanceFromLine(line, [10, 1])).toBeCloseTo(0, 6);
  });
});
