import { describe, expect, it } from "vitest";
import { drawnPart, drawnPartPx } from "../../../../test/support/drawn-part.ts";
import type { Slab } from "../../../../test/support/drawn-radiograph.ts";
import { drawnRadiograph, placed, slab } from "../../../../test/support/drawn-radiograph.ts";
import { findParts, lotUnit, partCandidates, wholeFieldPart } from "./find-parts.ts";

// Parts are drawn: how many there are and where they lie is known by construction.
// The outline is taken at the foot of its blurred edges, a pixel or so outside their middle.
const [bodyLength, bodyWidth] = drawnPartPx.body.map((side) => side + 2);
/** A body without leads fills its outline: 120 x 80. */
const plain = drawnPart().slice(0, 4);

function partsOf(widthPx: number, heightPx: number, matter: readonly Slab[]) {
  return findParts(partCandidates(drawnRadiograph(widthPx, heightPx, matter)), null);
}

describe("parts of a picture", () => {
  it("are found one by one, in reading order, each where it lies", () => {
    // Two rows that do not stand quite straight.
    const centres = [
      [100, 96],
      [262, 104],
      [420, 90],
      [104, 262],
      [258, 251],
      [424, 258],
    ] as const;
    const { parts } = partsOf(
      520,
      350,
      centres.flatMap((c, i) => placed(drawnPart(), c, [0, 3, -4, 180, 2, 0][i])),
    );
    expect(parts).toHaveLength(6);
    parts.forEach(({ body, cutByEdge, wholeField, fit }, i) => {
      expect(Math.hypot(body.centrePx[0] - centres[i][0], body.centrePx[1] - centres[i][1])).toBeLessThan(
        0.5,
      );
      expect(Math.abs(body.lengthPx - bodyLength)).toBeLessThan(2);
      expect(Math.abs(body.widthPx - bodyWidth)).toBeLessThan(2);
      expect(fit).not.toBeNull();
      expect({ cutByEdge, wholeField }).toEqual({ cutByEdge: false, wholeField: false });
    });
  });

  it("have their long side as their length, standing upright too", () => {
    const { parts } = partsOf(240, 240, placed(drawnPart(), [120, 118], 90));
    expect(parts).toHaveLength(1);
    expect(Math.abs(parts[0].body.lengthPx - bodyLength)).toBeLessThan(2);
    expect(Math.abs(Math.sin(parts[0].body.angleRad))).toBeCloseTo(1, 3);
    expect(Math.abs(parts[0].reachPx[1] - drawnPartPx.reach)).toBeLessThan(2);
  });

  it("are told apart from those that the picture's edge cuts", () => {
    const { parts } = partsOf(480, 200, [
      ...placed(drawnPart(), [20, 100]),
      ...placed(drawnPart(), [180, 100]),
      ...placed(drawnPart(), [340, 100]),
    ]);
    expect(parts.map((p) => p.cutByEdge)).toEqual([true, false, false]);
  });

  it("are whole when only their lead tips run out of the picture", () => {
    // The body ends 8 px below the upper edge, the leads reach 16 px beyond it.
    const { parts } = partsOf(480, 200, [
      ...placed(drawnPart(), [130, 48]),
      ...placed(drawnPart(), [330, 100]),
    ]);
    expect(parts.map((p) => p.cutByEdge)).toEqual([false, false]);
  });

  it("are parted where they touch, when others show how large one is", () => {
    // The first two overlap by a lead's width of flash.
    const flash = slab(0.5, [164, 96], [175, 103]);
    const { parts } = partsOf(720, 200, [
      ...placed(plain, [104, 100]),
      flash,
      ...placed(plain, [235, 100]),
      ...placed(plain, [400, 100]),
      ...placed(plain, [600, 100]),
    ]);
    expect(parts.map((p) => Math.round(p.body.centrePx[0]))).toEqual([104, 235, 400, 600]);
  });

  it("are parted where all of them touch, and nothing else shows how large one is", () => {
    // Leads meet between the rows, a bar 10 px wide joins neighbours in a row.
    const xs = [96, 220, 344];
    const bars = [158, 282].flatMap((x) => [90, 202].map((y) => slab(0.8, [x - 4, y - 5], [x + 4, y + 5])));
    const { parts } = partsOf(440, 292, [
      ...[90, 202].flatMap((y) => xs.flatMap((x) => placed(drawnPart(), [x, y]))),
      ...bars,
    ]);
    expect(parts.map(({ body: { centrePx: c } }) => c.map(Math.round))).toEqual([
      ...xs.map((x) => [x, 90]),
      ...xs.map((x) => [x, 202]),
    ]);
    for (const { body, fit, reachPx } of parts) {
      expect(fit).not.toBeNull();
      expect(Math.abs(body.lengthPx - bodyLength)).toBeLessThan(2);
      expect(Math.abs(body.widthPx - bodyWidth)).toBeLessThan(2);
      expect(Math.abs(reachPx[1] - drawnPartPx.reach)).toBeLessThan(4);
    }
  });

  it("have their edges' direction, not that of their slanting leads", () => {
    // Four-sided, 15 fine leads a side, each slanting towards the corner it is nearer to.
    const lead = (i: number, side: number): Slab => {
      const turn = (side * Math.PI) / 2;
      const [u, v] = [145, (i - 7) * 16];
      return {
        attenuation: 0.9,
        rect: {
          centrePx: [Math.cos(turn) * u - Math.sin(turn) * v, Math.sin(turn) * u + Math.cos(turn) * v],
          angleRad: turn + (i - 7) * 0.08,
          lengthPx: 110,
          widthPx: 6,
        },
      };
    };
    const body: Slab = {
      attenuation: 0.25,
      rect: { centrePx: [0, 0], angleRad: 0, lengthPx: 290, widthPx: 290 },
    };
    const part = [body, ...[0, 1, 2, 3].flatMap((s) => Array.from({ length: 15 }, (_, i) => lead(i, s)))];
    for (const turnDeg of [17, 25, -28]) {
      const { parts } = partsOf(600, 600, placed(part, [300, 300], turnDeg));
      expect(parts).toHaveLength(1);
      expect(parts[0].fit).not.toBeNull();
      const off = ((parts[0].body.angleRad * 180) / Math.PI - turnDeg + 945) % 90;
      expect(Math.abs(off - 45)).toBeLessThan(0.5);
      expect(Math.abs(parts[0].body.lengthPx - 292)).toBeLessThan(2);
    }
  });

  it("are all of the lead frame, without an outline, where the mould does not show", () => {
    // Only metal: a pad 60 x 40, its bars, and eight leads that fine wires join to it.
    const at = (attenuation: number, [x, y]: readonly [number, number], [w, h]: readonly [number, number]) =>
      slab(attenuation, [x - (w - 1) / 2, y - (h - 1) / 2], [x + (w - 1) / 2, y + (h - 1) / 2]);
    const frame = [
      at(0.7, [0, 0], [60, 40]),
      at(0.7, [-50, 0], [40, 8]),
      at(0.7, [50, 0], [40, 8]),
      ...[-54, -18, 18, 54].flatMap((x) => [
        at(0.7, [x, -58], [14, 44]),
        at(0.7, [x, 58], [14, 44]),
        at(0.15, [x / 2, -28], [Math.abs(x), 3]),
        at(0.15, [x / 2, 28], [Math.abs(x), 3]),
        at(0.15, [x, -32], [3, 10]),
        at(0.15, [x, 32], [3, 10]),
        at(0.15, [0, 24], [3, 10]),
        at(0.15, [0, -24], [3, 10]),
      ]),
    ];
    const { parts } = partsOf(300, 260, placed(frame, [150, 130], 5));
    expect(parts).toHaveLength(1);
    const [{ body, fit, cutByEdge }] = parts;
    expect({ fit, cutByEdge }).toEqual({ fit: null, cutByEdge: false });
    // The leads reach 80 px up and down, the bars 70 px to the sides.
    expect(Math.abs(body.lengthPx - 160)).toBeLessThan(6);
    expect(Math.abs(body.widthPx - 140)).toBeLessThan(6);
    expect(Math.hypot(body.centrePx[0] - 150, body.centrePx[1] - 130)).toBeLessThan(2);
  });

  it("are not the pockets or the walls of their tray", () => {
    const wall = (x: number) => slab(0.03, [x, 10], [x + 3, 189]);
    const { parts } = partsOf(520, 200, [
      wall(8),
      wall(178),
      wall(348),
      wall(508),
      slab(0.03, [8, 10], [511, 13]),
      slab(0.03, [8, 186], [511, 189]),
      ...[94, 264, 430].flatMap((x) => placed(drawnPart(), [x, 100])),
    ]);
    expect(parts.map((p) => Math.round(p.body.centrePx[0]))).toEqual([94, 264, 430]);
    for (const { body } of parts) expect(Math.abs(body.lengthPx - bodyLength)).toBeLessThan(2);
  });

  it("are none in open field, and none in a picture that shows no open field", () => {
    expect(partsOf(200, 160, [])).toEqual({ parts: [], level: null });
    // A crop from inside a board: copper everywhere to the edge.
    const board = slab(0.5, [-10, -10], [320, 260]);
    expect(partsOf(300, 240, [board, ...placed(plain, [150, 120])])).toEqual({ parts: [], level: null });
  });
});

describe("what a lot agrees on", () => {
  const onePart = partCandidates(drawnRadiograph(240, 200, placed(plain, [120, 100])));

  it("is the middle size of its pictures' parts", () => {
    const small = partCandidates(drawnRadiograph(240, 200, placed(plain, [120, 100], 0, false, 0.5)));
    const unit = lotUnit([onePart, small, onePart]);
    expect(Math.abs((unit?.areaPx ?? 0) / (bodyLength * bodyWidth) - 1)).toBeLessThan(0.03);
    expect(unit?.level).toBeGreaterThan(0.02);
    expect(unit?.level).toBeLessThan(0.4);
    expect(lotUnit([])).toBeNull();
  });

  it("says at which level a part ends whose leads alone run out of the picture", () => {
    // Cut at its own level the pad is all that stands free of the border.
    const whole = partCandidates(drawnRadiograph(300, 240, placed(drawnPart(), [150, 120])));
    const tips = partCandidates(drawnRadiograph(300, 240, placed(drawnPart(), [150, 52])));
    const { parts } = findParts(tips, lotUnit([whole]));
    expect(parts).toHaveLength(1);
    expect(parts[0].cutByEdge).toBe(false);
    expect(Math.abs(parts[0].body.lengthPx - bodyLength)).toBeLessThan(2);
    expect(Math.abs(parts[0].body.widthPx - bodyWidth)).toBeLessThan(2);
  });

  it("finds the cut parts of a picture that holds no whole one", () => {
    const cut = partCandidates(drawnRadiograph(300, 200, placed(plain, [30, 100])));
    expect(findParts(cut, null).parts).toEqual([]);
    const { parts } = findParts(cut, lotUnit([onePart]));
    expect(parts.map((p) => p.cutByEdge)).toEqual([true]);
  });
});

describe("a picture taken as one part", () => {
  it("has its own outline as its body, long side first", () => {
    expect(wholeFieldPart(60, 100)).toMatchObject({
      body: { centrePx: [29.5, 49.5], angleRad: Math.PI / 2, lengthPx: 100, widthPx: 60 },
      reachPx: [50, 30],
      wholeField: true,
      cutByEdge: false,
    });
  });
});
