import { describe, expect, it } from "vitest";
import { comparedDrawnLot } from "../../../../test/support/drawn-lot.ts";
import { drawnPart } from "../../../../test/support/drawn-part.ts";
import type { Slab } from "../../../../test/support/drawn-radiograph.ts";
import { slab } from "../../../../test/support/drawn-radiograph.ts";
import { noScale } from "../../../radiograph/scale.ts";
import { groupScenes } from "./group-scenes.ts";
import { priorUse } from "./prior-use.ts";

// Parts are drawn with eight leads of 10 x 16 px outside the body: what is on them is known by construction.

/** The drawn part, its lead at the top left moved aside. */
function bent(byPx: number): Slab[] {
  return drawnPart().map((s) => {
    const [x, y] = s.rect.centrePx;
    return x === -36 && y === -48 ? { ...s, rect: { ...s.rect, centrePx: [x + byPx, y] as const } } : s;
  });
}

async function calledOn(part: Slab[]) {
  const poses = Array.from({ length: 9 }, (_, i) => ({
    ...(i === 4 ? { part } : {}),
    turnDeg: Math.sin(3 * i),
    centrePx: [120 + Math.cos(i), 100 + Math.sin(2 * i)] as const,
  }));
  const { lot, measured, compared } = await comparedDrawnLot(poses);
  return priorUse(lot, measured, groupScenes(lot, measured, compared.groupOf), noScale);
}

describe("one of nine parts", () => {
  it("is called for solder on a lead, as supporting evidence", async () => {
    const { calls, compared } = await calledOn([...drawnPart(), slab(0.7, [-40, -56], [-31, -49])]);
    expect(calls.map((of) => of.map((c) => c.kind))).toEqual([[], [], [], [], ["prior-use"], [], [], [], []]);
    expect(calls[4]?.[0]?.says).toMatch(/more matter than its like.*supporting evidence/);
    expect(compared[0]).toMatchObject({ characteristic: "leadsOutside", assessable: true });
    const [x, y, w, h] = calls[4]?.[0]?.boxPx ?? [0, 0, 0, 0];
    expect(x < 84 && x + w > 84 && y < 52 && y + h > 48).toBe(true);
  });

  it("is called for a lead that is bent aside, by how far", async () => {
    const { calls } = await calledOn(bent(6));
    expect(calls.map((of) => of.length)).toEqual([0, 0, 0, 0, 1, 0, 0, 0, 0]);
    expect(calls[4]?.[0]?.says).toMatch(/bent aside by (4|5|6)\.\d px/);
  });

  it("is not called when its leads are as the others'", async () => {
    expect((await calledOn(bent(1))).calls.flat()).toEqual([]);
  });
});
