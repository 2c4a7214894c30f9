import { describe, expect, it } from "vitest";
import { CoverageBuffer } from "./coverage.ts";
import { disc, rectangle } from "./outline.ts";

function shares(width: number, height: number, polygons: number[][]): number[][] {
  const buffer = new CoverageBuffer(width, height);
  for (const p of polygons) buffer.addPolygon(Float64Array.from(p));
  const flat = buffer.takeShares();
  return Array.from({ length: height }, (_, y) =>
    Array.from({ length: width }, (_, x) => Math.round(flat[y * (width + 2) + x] * 1e4) / 1e4),
  );
}

const area = (rows: number[][]) => rows.flat().reduce((a, b) => a + b, 0);

describe("CoverageBuffer", () => {
  it("shares out a box worked by hand", () => {
    expect(shares(4, 3, [[0.5, 0.25, 3, 0.25, 3, 2, 0.5, 2]])).toEqual([
      [0.375, 0.75, 0.75, 0],
      [0.5, 1, 1, 0],
      [0, 0, 0, 0],
    ]);
  });

  it("shares out a triangle worked by hand, either way round", () => {
    const expected = [
      [0.5, 0, 0],
      [1, 0.5, 0],
      [1, 1, 0.5],
    ];
    expect(shares(3, 3, [[0, 0, 3, 3, 0, 3]])).toEqual(expected);
    expect(shares(3, 3, [[0, 3, 3, 3, 0, 0]])).toEqual(expected);
  });

  it("keeps the area of turned boxes and discs", () => {
    for (const turn of [0, 3, 17, 45, 62]) {
      const rows = shares(40, 40, [rectangle([20.3, 19.6], 17.25, 9.5, turn).flat()]);
      expect(area(rows)).toBeCloseTo(17.25 * 9.5, 2);
    }
    expect(area(shares(30, 30, [disc([14.2, 15.1], 9).flat()]))).toBeCloseTo(81 * Math.PI, 1);
  });

  it("counts an overlap once", () => {
    expect(area(shares(6, 6, [[0, 0, 4, 0, 4, 4, 0, 4], [2, 2, 6, 2, 6, 6, 2, 6]]))).toBeCloseTo(28, 3); // biome-ignore format: two boxes
  });

  it("clips what is outside the window on every side", () => {
    expect(shares(2, 2, [[-5, -5, 9, -5, 9, 9, -5, 9]])).toEqual([
      [1, 1],
      [1, 1],
    ]);
    const turned = rectangle([10, 10], 16, 12, 30).flat();
    const whole = shares(20, 20, [turned]);
    const part = shares(6, 7, [turned.map((v, i) => v - (i % 2 === 0 ? 12 : 3))]);
    for (let y = 0; y < 7; y++)
      for (let x = 0; x < 6; x++) expect(part[y][x]).toBeCloseTo(whole[y + 3][x + 12], 3);
  });
});
