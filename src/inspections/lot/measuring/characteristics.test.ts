import { describe, expect, test } from "vitest";
import type { PlacedItem } from "../lot-item.ts";
import { frameMetals, partCharacteristics } from "./characteristics.ts";
import type { PartMeasures } from "./measure-lot.ts";
import type { MeasuredRectangle } from "./measured-rectangle.ts";

function rectangle(lengthPx: number, widthPx: number): MeasuredRectangle {
  return {
    rectangle: { centrePx: [100, 100], angleRad: 0, lengthPx, widthPx },
    uLengthPx: 0.4,
    uWidthPx: 0.4,
    sidesAlongPx: [[], [], [], []],
    agreement: 0.9,
  };
}

function measures(mould: number, metal: number, die = rectangle(170, 150)): PartMeasures {
  return {
    inside: { levels: { mould, metal, between: (mould + metal) / 2 }, pad: null, die: null, dieLevel: null },
    clip: null,
    pad: rectangle(230, 230),
    die,
    leads: null,
    leadsCut: false,
    frameAttenuation: metal - mould,
    dieAttenuation: 0.1,
  };
}

describe("frame metal over mould", () => {
  const usual = Array.from({ length: 9 }, () => measures(0.2, 1.2));

  test("one part at another tube voltage is not compared at the limit of one voltage", () => {
    const { values, floor } = frameMetals([...usual, measures(0.125, 0.82)]);
    expect(values.slice(0, 9)).toEqual(usual.map(() => expect.closeTo(5, 6)));
    expect(values[9]).toBeNull();
    expect(floor).toBeCloseTo(0.4, 6);
  });

  test("another metal at the same voltage, or one too far off for any voltage, is", () => {
    expect(frameMetals([...usual, measures(0.2, 1.32)]).values[9]).toBeCloseTo(5.6, 6);
    expect(frameMetals([...usual, measures(0.125, 1.1)]).values[9]).toBeCloseTo(7.8, 6);
  });

  test("of a part whose die is not known is not compared where most dies are: its metal is the die's too", () => {
    const unknown = { ...measures(0.2, 1.32), die: null };
    expect(frameMetals([...usual, unknown]).values[9]).toBeNull();
    const without = Array.from({ length: 9 }, () => ({ ...measures(0.2, 1.2), die: null }));
    expect(frameMetals([...without, unknown]).values[9]).toBeCloseTo(5.6, 6);
  });

  test("layers that hardly differ from what they lie in are no frame", () => {
    expect(frameMetals([measures(2.26, 2.38)]).values).toEqual([null]);
  });
});

describe("a part that may lie a quarter turn otherwise", () => {
  const placed = (alternatives: readonly { turnDeg: number; equal: boolean }[]) =>
    ({
      aligned: { scale: 1, turnDeg: 0, alternatives },
      patch: { reducedBy: 1, part: { wholeField: true, fit: null } },
    }) as unknown as PlacedItem;
  const lying = measures(0.2, 1.2);
  const standing = measures(0.2, 1.2, rectangle(150, 170));
  const dieLengths = (last: PlacedItem) =>
    partCharacteristics([placed([]), placed([]), last], [lying, lying, standing]).find(
      (c) => c.name === "dieLength",
    )?.values;

  test("has its die compared as the others' dies lie", () => {
    expect(dieLengths(placed([{ turnDeg: 90, equal: true }]))).toEqual([170, 170, 170]);
  });

  test("a die turned in a frame that lies surely is not turned back", () => {
    expect(dieLengths(placed([{ turnDeg: 90, equal: false }]))).toEqual([170, 170, 150]);
  });
});

describe("the scale by which sizes are divided", () => {
  const placed = (scale: number, bodyPx: number) =>
    ({
      aligned: { scale, turnDeg: 0, alternatives: [] },
      patch: {
        reducedBy: 1,
        part: { wholeField: false, fit: {}, body: { lengthPx: bodyPx, widthPx: bodyPx / 2 } },
      },
    }) as unknown as PlacedItem;
  const sizes = (last: PlacedItem, die: MeasuredRectangle, name: string) =>
    partCharacteristics(
      [...Array.from({ length: 5 }, () => placed(1, 300)), last],
      [...Array.from({ length: 5 }, () => measures(0.2, 1.2)), measures(0.2, 1.2, die)],
    ).find((c) => c.name === name)?.values[5];

  test("is the lot's where a part was laid too small and is as large as the others", () => {
    const laidTooSmall = placed(0.985, 300);
    expect(sizes(laidTooSmall, rectangle(170, 150), "dieLength")).toBe(170);
    expect(sizes(laidTooSmall, rectangle(170, 150), "bodyLength")).toBe(300);
  });

  test("is its own where it lies higher, and leaves a smaller die smaller", () => {
    expect(sizes(placed(1.03, 309), rectangle(175.1, 154.5), "dieLength")).toBeCloseTo(170, 6);
    expect(sizes(placed(1.03, 309), rectangle(161.1, 142.1), "dieLength")).toBeCloseTo(156.4, 1);
  });
});
