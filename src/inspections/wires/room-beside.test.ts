import { describe, expect, it } from "vitest";
import type { PointPx } from "../../numeric/image.ts";
import { crowdedShare, roomBeside } from "./room-beside.ts";

const die = { centrePx: [100, 50] as const, angleRad: 0, lengthPx: 80, widthPx: 40 };
const scene = { body: { ...die, lengthPx: 200, widthPx: 100 }, die, metalLevel: 1 };
const part = { image: { width: 1, height: 1, data: new Float32Array(1) }, die: null };
/** From (36, 50) straight to the middle of the die's left edge, 24 px on. */
const course = { lead: 1, tipPx: [36, 50] as const, onDie: [-0.5, 0] as const };
const lineAt = (y: (x: number) => number): PointPx[] =>
  Array.from({ length: 49 }, (_, k): PointPx => [36 + k / 2, y(36 + k / 2)]);

describe("the room beside a wire", () => {
  it("is the distance to the nearest other wire along it", () => {
    const room = roomBeside(part, course, [lineAt(() => 60), lineAt((x) => 50 - (60 - x))], scene);
    expect(room).toHaveLength(12);
    expect(room[0]).toBeCloseTo(10, 0);
    // The other one meets the course at the die: at 45 degrees, it is 1/sqrt(2) as near as it is above.
    expect(room[11]).toBeCloseTo(1 / Math.SQRT2, 0);
    expect(Math.min(...roomBeside(part, course, [], scene))).toBe(Number.POSITIVE_INFINITY);
  });

  it("is crowded where another has come nearer than usual, and not where it usually runs", () => {
    const usual = new Array<number>(12).fill(10);
    const near = usual.map((v, k) => (k < 6 ? v : 2));
    expect(crowdedShare(near, usual, 0, 12)).toBe(0.5);
    expect(crowdedShare(near, usual, 6, 9)).toBe(1);
    expect(crowdedShare(near, near, 0, 12)).toBe(0);
  });
});
