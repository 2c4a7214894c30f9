import { describe, expect, it } from "vitest";
import { drawnRadiograph, slab } from "../../../../test/support/drawn-radiograph.ts";
import type { LevelCut, Piece } from "./part-levels.ts";
import { cutAtLevel } from "./part-levels.ts";
import { splitTouching } from "./split-touching.ts";

// Bodies of known size: 30 x 20 px, 600 px each.
function cutOf(...matter: Parameters<typeof drawnRadiograph>[2][number][]): { cut: LevelCut; piece: Piece } {
  const { attenuation: data } = drawnRadiograph(140, 60, matter, { noise: 0, unsharpPx: 0 });
  const cut = cutAtLevel({ width: 140, height: 60, data }, 0.5);
  expect(cut.pieces).toHaveLength(1);
  return { cut, piece: cut.pieces[0] };
}

const body = (x: number) => slab(1, [x, 20], [x + 29, 39]);
/** Leads or flash, 4 px wide, across a gap of 4 px. */
const neck = (x: number) => slab(1, [x, 28], [x + 3, 31]);

describe("touching parts", () => {
  it("are parted at the neck between them", () => {
    const { cut, piece } = cutOf(body(10), neck(40), body(44));
    expect(piece.filledPx).toBe(1216);
    const split = splitTouching(cut, piece, 600);
    expect(split).toHaveLength(2);
    expect(split.map((s) => s.piece.filledPx).reduce((a, b) => a + b)).toBe(1216);
    const [left, right] = split.map((s) => s.piece).sort((p, q) => p.boxPx[0] - q.boxPx[0]);
    // Each takes its half of the neck.
    expect(left).toMatchObject({ filledPx: 608, boxPx: [10, 20, 32, 20], touchesBorder: false });
    expect(right).toMatchObject({ filledPx: 608, boxPx: [42, 20, 32, 20], touchesBorder: false });
    expect(left.centroidPx[0]).toBeCloseTo((600 * 24.5 + 8 * 40.5) / 608, 6);
  });

  it("are as many as stand in the row", () => {
    const { cut, piece } = cutOf(body(10), neck(40), body(44), neck(74), body(78));
    const split = splitTouching(cut, piece, 600);
    expect(split.map((s) => s.piece.boxPx[0]).sort((a, b) => a - b)).toEqual([10, 42, 76]);
  });

  it("own no pixel twice and leave none over", () => {
    const { cut, piece } = cutOf(body(10), neck(40), body(44), neck(74), body(78));
    const owners = new Uint8Array(cut.labels.length);
    for (const { cut: own, piece: one } of splitTouching(cut, piece, 600)) {
      own.labels.forEach((label, i) => {
        if (label === one.label) owners[i]++;
      });
    }
    expect([...owners]).toEqual([...cut.labels].map((label) => (label === piece.label ? 1 : 0)));
  });

  it("know which of them the picture's edge touches", () => {
    const { cut, piece } = cutOf(body(0), neck(30), body(34));
    const [left, right] = splitTouching(cut, piece, 600)
      .map((s) => s.piece)
      .sort((p, q) => p.boxPx[0] - q.boxPx[0]);
    expect([left.touchesBorder, right.touchesBorder]).toEqual([true, false]);
  });

  it("flush against each other stay one piece: nothing says where one ends", () => {
    const { cut, piece } = cutOf(slab(1, [10, 20], [69, 39]));
    expect(splitTouching(cut, piece, 600)).toEqual([{ cut, piece }]);
  });
});
