import { describe, expect, it } from "vitest";
import { noiseImage } from "../../numeric/test-images.ts";
import reference from "./fixtures/lines.json" with { type: "json" };
import { sampleStrip } from "./strip.ts";
import { bestLine, contrastAlong, mostInRow, smoothRows, standOut } from "./strip-line.ts";

// Source: scipy, by scripts/reference/wire-fixtures.py (versions in fixtures/lines.json).
describe("a strip of a picture", () => {
  it.each(reference.strips)("from $from to $to is what scipy's map_coordinates samples", (of) => {
    const strip = sampleStrip(
      noiseImage(60, 50, 5),
      of.from as [number, number],
      of.to as [number, number],
      of.halfWidthPx,
    );
    expect(strip.data).toHaveLength(of.data.length);
    of.data.forEach((v, i) => {
      expect(strip.data[i]).toBeCloseTo(v, 5);
    });
  });

  it("has no value outside the picture", () => {
    const strip = sampleStrip(noiseImage(20, 20, 1), [18, 10], [30, 10], 1);
    expect(strip.data[1]).not.toBeNaN();
    expect(strip.data.at(-1)).toBeNaN();
  });
});

describe("the best line through a strip", () => {
  const { rows, columns, over, gain, columnsOfRows } = reference.line;
  const strip = { lengthPx: rows, halfWidthPx: (columns - 1) / 2, data: new Float32Array(over.length) };

  it("gains as much as the shortest path of scipy's graph, and is that path where it stands out", () => {
    const data = Float32Array.from(over);
    const line = bestLine(strip, data, () => columns);
    const typical = [...mostInRow(data, rows)].sort((p, q) => p - q);
    const middle = ((typical[rows / 2 - 1] as number) + (typical[rows / 2] as number)) / 2;
    let sum = 0;
    line.forEach((c, t) => {
      // Rows that tell nothing are drawn straight, beside the graph's path.
      sum += Math.min(1.5 * middle, Math.max(-middle, data[t * columns + c] as number));
      if (t && c !== line[t - 1]) sum -= 0.3 * middle;
    });
    const same = columnsOfRows.filter((c, t) => c === line[t]).length;
    expect(same).toBeGreaterThanOrEqual(0.9 * rows);
    expect(sum).toBeLessThanOrEqual(gain + 1e-4);
    expect(sum).toBeGreaterThan(0.85 * gain);
  });

  it("stays within the reach it is given", () => {
    const line = bestLine(strip, Float32Array.from(over), (t) => (t < 20 ? 1 : 3));
    line.forEach((c, t) => {
      expect(Math.abs(c - strip.halfWidthPx)).toBeLessThanOrEqual(t < 20 ? 1 : 3);
    });
  });
});

describe("a line against its sides", () => {
  /** A ridge of 0.2 in column 5 beside a step of 1 from column 8 on, in 20 rows of 11. */
  const data = Float32Array.from({ length: 220 }, (_, i) => (i % 11 >= 8 ? 1 : 0) + (i % 11 === 5 ? 0.2 : 0));
  const strip = { lengthPx: 20, halfWidthPx: 5, data };

  it("stands out, an edge does not", () => {
    const over = standOut(smoothRows(strip), 2, 1);
    expect(over[10 * 11 + 5]).toBeCloseTo(0.2, 6);
    expect(over[10 * 11 + 8]).toBeLessThanOrEqual(0);
    expect(over[10 * 11 + 1]).toBe(Number.NEGATIVE_INFINITY);
  });

  it("has the contrast it was given, and none where the sides are uneven", () => {
    const middle = new Int16Array(20).fill(5);
    expect([...contrastAlong(strip, middle, 2, 0.5)]).toEqual(new Array(20).fill(expect.closeTo(0.2, 6)));
    expect([...contrastAlong(strip, middle, 3, 0.5)].every(Number.isNaN)).toBe(true);
  });
});
