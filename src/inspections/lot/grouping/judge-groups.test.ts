import { beforeAll, describe, expect, it } from "vitest";
import { comparedDrawnLot } from "../../../../test/support/drawn-lot.ts";
import { oneLongDie } from "../../../../test/support/drawn-lots.ts";
import { noScale, typedScale } from "../../../radiograph/scale.ts";
import type { PlacedLot } from "../placing/place-lot.ts";
import { describeCompared, describeGroups, groupName, knowsNormal, minorityGroups } from "./judge-groups.ts";

// Parts are drawn (test/support/drawn-part.ts, drawn-lots.ts): what each holds and how it lies is known by construction.

const { odd } = oneLongDie;

describe("the groups of a lot of nine with a longer die in one", () => {
  let all: Awaited<ReturnType<typeof comparedDrawnLot>>;
  beforeAll(async () => {
    all = await comparedDrawnLot(oneLongDie.poses);
  });

  it("has the longer die in a group of its own, named by its length", () => {
    expect(all.compared.groupOf).toEqual(oneLongDie.poses.map((_, i) => (i === odd ? 1 : 0)));
    const [first, second] = describeGroups(all.lot, all.compared, noScale, []);
    expect(first).toMatchObject({ name: "A", size: 8 });
    expect(second).toMatchObject({ name: "B", size: 1, parts: [`part ${odd}`] });
    const [because] = second.differsFrom[0].because;
    expect(because.measurement).toBe("dieLength");
    // 44 - 36 = 8 px longer.
    expect(Math.abs((because.by.value ?? 0) - 8)).toBeLessThan(0.8);
    expect(first.differsFrom[0].because[0].by.value).toBeCloseTo(-(because.by.value ?? 0), 9);
  });

  it("says by how much in millimetres when the picture has a scale", () => {
    const [, second] = describeGroups(all.lot, all.compared, typedScale(25), []);
    const { by } = second.differsFrom[0].because[0];
    // 8 px of 25 um: 0.2 mm.
    expect(by.unit).toBe("mm");
    expect(Math.abs((by.value ?? 0) - 0.2)).toBeLessThan(0.02);
  });

  it("says what was compared and how small a difference would have been found", () => {
    const compared = describeCompared(all.lot, all.measured, all.compared, noScale);
    const of = (name: string) => compared.find((c) => c.characteristic === name);
    expect(of("dieLength")).toMatchObject({
      assessable: true,
      because: expect.stringMatching(/^measured on 9 of 9/),
    });
    const least = of("dieLength")?.smallestDetectable;
    // Well below the 8 px that were found, not below what the die's floor of 2.5 px allows.
    expect(least?.value).toBeGreaterThanOrEqual(2.5);
    expect(least?.value).toBeLessThan(6);
    expect(of("diePresence")).toMatchObject({ assessable: true, because: "a die is seen in 9 of 9 parts" });
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

describe("what is normal in a lot", () => {
  const known = (wholeField: boolean, ...groupOf: number[]) =>
    knowsNormal({ frame: { wholeField } } as PlacedLot, groupOf);

  it("is known when some of its parts are alike", () => {
    expect(known(false, 0, 0, 1)).toBe(true);
    expect(known(false, 0, 1, 2)).toBe(false);
  });

  it("is known in crops of larger pictures from four on, as they bring their surroundings along", () => {
    expect(known(true, 0, 0, 0)).toBe(false);
    expect(known(true, 0, 0, 0, 1)).toBe(true);
  });
});
