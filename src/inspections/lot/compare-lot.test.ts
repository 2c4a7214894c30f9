import { beforeAll, describe, expect, it } from "vitest";
import { comparedDrawnLot } from "../../../test/support/drawn-lot.ts";
import { drawnPart, drawnPartPx } from "../../../test/support/drawn-part.ts";
import { slab } from "../../../test/support/drawn-radiograph.ts";
import { noScale, typedScale } from "../../radiograph/scale.ts";
import { betterReference } from "./better-reference.ts";
import type { CalledPart } from "./call-differences.ts";
import { callDifferences } from "./call-differences.ts";
import { bodyCorners, describeMeasurements } from "./describe-part.ts";
import { dieComparison } from "./die-comparison.ts";
import { describeCompared, describeGroups, groupName, knowsNormal, minorityGroups } from "./judge-groups.ts";
import { splitFollows } from "./split-follows.ts";

// Parts are drawn (test/support/drawn-part.ts): what each holds and how it lies is known by construction.

/** Die 44 x 24 in place of 36 x 24. */
const longDie = [...drawnPart("die"), slab(0.3, [-22, -12], [21, 11])];
/** A dense particle, 6 x 6 px, in the mould beside the pad: its middle is (41.5, 21.5). */
const particle = [...drawnPart(), slab(0.7, [39, 19], [44, 24])];
/** A pad 60 x 52 in place of 60 x 40. */
const highPad = [...drawnPart(), slab(0.8, [-30, -26], [29, -21]), slab(0.8, [-30, 20], [29, 25])];

const empty = 3;
const dirty = 8;
const poses = [
  {},
  { turnDeg: 180.6 },
  { turnDeg: -1.1, centrePx: [118.2, 101] as const },
  { part: drawnPart("die"), turnDeg: 0.7 },
  { gain: 0.9 },
  { turnDeg: 179 },
  { turnDeg: 1.2 },
  { centrePx: [123.4, 98.8] as const },
  { part: particle, turnDeg: 180 },
  { turnDeg: 0.4 },
];

describe("a lot of ten with an empty package and a particle", () => {
  let all: Awaited<ReturnType<typeof comparedDrawnLot>>;
  let called: readonly CalledPart[];
  beforeAll(async () => {
    all = await comparedDrawnLot(poses);
    called = callDifferences(all.lot, all.measured, all.compared, minorityGroups(all.compared.groupOf));
  });

  it("has the dies measured, and none where there is none", () => {
    all.measured.parts.forEach(({ die }, i) => {
      if (i === empty) {
        expect(die).toBeNull();
        return;
      }
      expect(Math.abs((die?.rectangle.lengthPx ?? 0) - drawnPartPx.die[0]), `part ${i}`).toBeLessThan(0.7);
      expect(Math.abs((die?.rectangle.widthPx ?? 0) - drawnPartPx.die[1]), `part ${i}`).toBeLessThan(0.7);
    });
  });

  it("has its leads counted on every part", () => {
    expect(all.measured.parts.map((p) => p.leads?.count)).toEqual(poses.map(() => drawnPartPx.leads));
  });

  it("is one construction, beside which the part with the particle stands apart", () => {
    expect(all.compared.groupOf).toEqual(poses.map((_, i) => (i === dirty ? 1 : 0)));
    expect(minorityGroups(all.compared.groupOf)).toEqual(new Set([1]));
  });

  it("has the empty package called for its die, where the die would lie", () => {
    const { calls, oddness } = called[empty];
    expect(calls.map((c) => c.kind)).toEqual(["absent-die"]);
    expect(oddness).toBeGreaterThan(1);
    const [left, top, width, height] = calls[0].boxPx;
    // It lies at (120.3, 99.6), the die in its middle.
    expect(Math.abs(left + (width - 1) / 2 - 120.3)).toBeLessThan(1.5);
    expect(Math.abs(top + (height - 1) / 2 - 99.6)).toBeLessThan(1.5);
    expect(Math.abs(width - drawnPartPx.die[0])).toBeLessThan(5);
  });

  it("has the particle called as denser, where it lies", () => {
    const { calls } = called[dirty];
    expect(calls).toHaveLength(1);
    expect(calls[0].says).toMatch(/^denser than the largest group/);
    const [left, top, width, height] = calls[0].boxPx;
    // Drawn at (41.5, 21.5) from the middle, turned by a half: (120.3 - 41.5, 99.6 - 21.5).
    expect(left).toBeLessThan(78.8);
    expect(left + width).toBeGreaterThan(78.8);
    expect(top).toBeLessThan(78.1);
    expect(top + height).toBeGreaterThan(78.1);
    expect(width * height).toBeLessThan(14 * 14);
  });

  it("has nothing called on its good parts, one of them at another exposure", () => {
    for (const [i, { calls, oddness }] of called.entries()) {
      if ([empty, dirty].includes(i)) continue;
      expect(calls, `part ${i}`).toEqual([]);
      expect(oddness, `part ${i}`).toBeLessThan(1);
    }
  });

  it("shows in the difference picture of a part what is called, and nothing in a good one", () => {
    const strongest = (i: number) => called[i].excess.data.reduce((m, v) => Math.max(m, Math.abs(v)), 0);
    expect(strongest(empty)).toBeGreaterThan(5 * Math.max(1, strongest(0)));
  });

  it("has its dies compared on tiles of their own, the empty package left out", () => {
    const dies = dieComparison(all.lot, all.measured);
    expect(dies?.of).toEqual([0, 1, 2, 4, 5, 6, 7, 8, 9]);
    const { width, height } = dies?.where ?? { width: 0, height: 0 };
    expect(Math.abs(width - drawnPartPx.die[0])).toBeLessThanOrEqual(2);
    // The middle of each tile is the middle of its die in the picture.
    const map = dies?.toPicture[2];
    const middle = (p: number, q: number, r: number) => (p * (width - 1)) / 2 + (q * (height - 1)) / 2 + r;
    expect(Math.abs(middle(map?.a ?? 0, map?.b ?? 0, map?.c ?? 0) - 118.2)).toBeLessThan(0.4);
    expect(Math.abs(middle(map?.d ?? 0, map?.e ?? 0, map?.f ?? 0) - 101)).toBeLessThan(0.4);
  });

  it("has measurements in px without a scale and in mm with one, and says why where there are none", () => {
    const [item, part] = [all.lot.items[0], all.measured.parts[0]];
    const px = describeMeasurements(item, part, noScale, false);
    const mm = describeMeasurements(item, part, typedScale(20), false);
    expect(px.padLength.unit).toBe("px");
    expect(Math.abs((px.padLength.value ?? 0) - drawnPartPx.pad[0])).toBeLessThan(0.5);
    // 20 um a pixel: 60 px are 1.2 mm.
    expect(mm.padLength.unit).toBe("mm");
    expect(mm.padLength.value).toBeCloseTo((px.padLength.value ?? 0) * 0.02, 9);
    expect(px.leads).toMatchObject({ value: 8, unit: "1" });
    expect(px.leadPitch.value).toBeCloseTo(drawnPartPx.pitch, 0);
    for (const offset of [px.dieOffsetX, px.dieOffsetY, px.dieTurn])
      expect(Math.abs(offset.value ?? 9)).toBeLessThan(0.7);
    // Metal over mould: 0.8 was drawn, the die over the pad 0.3.
    expect(px.dieAttenuation.value).toBeCloseTo(0.3, 1);
    const bare = describeMeasurements(all.lot.items[empty], all.measured.parts[empty], noScale, true);
    expect(bare.dieLength).toEqual({ value: null, unit: "px", because: "not-present" });
    expect(bare.wiresSeen).toMatchObject({ value: null, because: "not-assessed" });
  });

  it("has body corners that start at the reference's top left, also on a part turned by a half", () => {
    const [first] = bodyCorners(all.lot.items[1], all.lot.frame);
    const reference = bodyCorners(all.lot.items[0], all.lot.frame);
    const lies = all.lot.items[1].aligned.turnDeg - all.lot.items[0].aligned.turnDeg;
    expect(Math.abs(Math.cos((lies * Math.PI) / 180) + 1)).toBeLessThan(0.001);
    // Turned by a half about (120.3, 99.6) the corner lies opposite.
    expect(Math.abs(first[0] + reference[0][0] - 2 * 120.3)).toBeLessThan(2);
    expect(Math.abs(first[1] + reference[0][1] - 2 * 99.6)).toBeLessThan(2);
  });

  it("says what was compared and how small a difference would have been found", () => {
    const compared = describeCompared(all.lot, all.measured, all.compared, noScale);
    const of = (name: string) => compared.find((c) => c.characteristic === name);
    expect(of("dieLength")).toMatchObject({
      assessable: true,
      because: expect.stringMatching(/^measured on 9 of 10/),
    });
    const least = of("dieLength")?.smallestDetectable;
    // Well below the 8 px that were found, not below what the die's floor of 2.5 px allows.
    expect(least?.value).toBeGreaterThanOrEqual(2.5);
    expect(least?.value).toBeLessThan(6);
    expect(of("diePresence")).toMatchObject({ assessable: true, because: "a die is seen in 9 of 10 parts" });
    expect(of("wires")).toMatchObject({ assessable: false });
  });
});

describe("a lot of nine with a longer die in one", () => {
  const odd = 6;
  const others = poses
    .slice(0, 9)
    .map(({ part: _, ...pose }, i) => (i === odd ? { ...pose, part: longDie } : pose));
  let all: Awaited<ReturnType<typeof comparedDrawnLot>>;
  beforeAll(async () => {
    all = await comparedDrawnLot(others);
  });

  it("has the longer die in a group of its own, named by its length", () => {
    expect(all.compared.groupOf).toEqual(others.map((_, i) => (i === odd ? 1 : 0)));
    const [first, second] = describeGroups(all.lot, all.compared, noScale);
    expect(first).toMatchObject({ name: "A", size: 8 });
    expect(second).toMatchObject({ name: "B", size: 1, parts: [`part ${odd}`] });
    const [because] = second.differsFrom[0].because;
    expect(because.measurement).toBe("dieLength");
    // 44 - 36 = 8 px longer.
    expect(Math.abs((because.by.value ?? 0) - 8)).toBeLessThan(0.8);
    expect(first.differsFrom[0].because[0].by.value).toBeCloseTo(-(because.by.value ?? 0), 9);
  });

  it("says by how much in millimetres when the picture has a scale", () => {
    const [, second] = describeGroups(all.lot, all.compared, typedScale(25));
    const { by } = second.differsFrom[0].because[0];
    // 8 px of 25 um: 0.2 mm.
    expect(by.unit).toBe("mm");
    expect(Math.abs((by.value ?? 0) - 0.2)).toBeLessThan(0.02);
  });

  it("has the longer die called against the largest group", () => {
    const called = callDifferences(all.lot, all.measured, all.compared, minorityGroups(all.compared.groupOf));
    expect(called[odd].oddness).toBeGreaterThan(1);
    called.forEach(({ calls }, i) => {
      if (i !== odd) expect(calls, `part ${i}`).toEqual([]);
    });
  });
});

describe("a lot in two halves", () => {
  it("is two constructions with neither the odd one, and the split follows nothing seen", async () => {
    const { lot, compared } = await comparedDrawnLot([
      {},
      { part: highPad },
      { turnDeg: 180 },
      { part: highPad, turnDeg: 1 },
      { turnDeg: -1 },
      { part: highPad, turnDeg: 181 },
    ]);
    expect(compared.groups).toBe(2);
    expect(new Set(compared.groupOf.filter((_, i) => i % 2 === 0)).size).toBe(1);
    expect(new Set(compared.groupOf.filter((_, i) => i % 2 === 1)).size).toBe(1);
    expect(minorityGroups(compared.groupOf)).toEqual(new Set());
    expect(splitFollows(lot, compared)).toEqual({ kind: "codes-unknown" });
    expect(knowsNormal(lot, compared.groupOf)).toBe(true);
    // The frame is given by a part of the first group, or a better one is named.
    const better = betterReference(lot, compared) ?? lot.reference;
    expect(compared.groupOf[better]).toBe(0);
  });
});

describe("the odd groups of a lot", () => {
  const lotOf = (...sizes: number[]) => sizes.flatMap((size, group) => new Array<number>(size).fill(group));

  it("hold a fifth at most of eight parts or more", () => {
    expect(minorityGroups(lotOf(8, 2))).toEqual(new Set([1]));
    expect(minorityGroups(lotOf(7, 2))).toEqual(new Set());
    expect(minorityGroups(lotOf(6, 1))).toEqual(new Set());
    expect(minorityGroups(lotOf(12, 2, 1))).toEqual(new Set([1, 2]));
  });

  it("are none where no clear rest is left", () => {
    // Six of ten are no seven tenths.
    expect(minorityGroups(lotOf(6, 2, 2))).toEqual(new Set());
    expect(minorityGroups(lotOf(1, 1, 1, 1, 1, 1, 1, 1))).toEqual(new Set());
  });

  it("are named A to Z, then AA", () => {
    expect([0, 1, 25, 26, 27, 51, 52, 701, 702].map(groupName)).toEqual([
      "A",
      "B",
      "Z",
      "AA",
      "AB",
      "AZ",
      "BA",
      "ZZ",
      "AAA",
    ]);
  });
});
