import { describe, expect, test } from "vitest";
import type { Image } from "../../../numeric/image.ts";
import { createImage } from "../../../numeric/image.ts";
import { normalNumbers } from "../../../radiograph/invented-picture.ts";
import type { PlacedItem } from "../lot-item.ts";
import type { PartMeasures } from "./measure-in-frame.ts";
import { measureDie } from "./measure-part.ts";
import type { MeasuredRectangle } from "./measured-rectangle.ts";
import { settleDies } from "./settle-dies.ts";

const size = 160;
const dieLevel = 0.9;

/** A pad of 1.0 with a die of 0.9 on it, its fillet 1.2; `line`: a row of bonds 5 px inside the right side. */
function picture(lengthPx: number, line: boolean): Image {
  const image = createImage(size, size);
  const normal = normalNumbers(7);
  const soft = (d: number) => 1 / (1 + Math.exp(-d / 0.4));
  for (let y = 0; y < size; y++) {
    for (let x = 0; x < size; x++) {
      const out = Math.max(Math.abs(x - 80) - lengthPx / 2, Math.abs(y - 80) - 20);
      let v = dieLevel + 0.3 * soft(out) * (1 - soft(out - 5)) + 0.1 * soft(out - 5);
      if (line && x >= 80 + lengthPx / 2 - 7 && x < 80 + lengthPx / 2 - 5 && Math.abs(y - 80) < 20 && y % 3)
        v += 0.2;
      image.data[y * size + x] = v + 0.004 * normal();
    }
  }
  return image;
}

function measured(image: Image, lengthPx: number, centreX = 80): MeasuredRectangle {
  const start = { centrePx: [centreX, 80], angleRad: 0, lengthPx, widthPx: 40 } as const;
  const die = measureDie({ image } as PlacedItem["patch"], start, dieLevel, 0.004, null, {
    mostSearchPx: 3.5,
  });
  if (!die) throw new Error("expected a die");
  return die;
}

const item = (image: Image) =>
  ({
    aligned: { map: { a: 1, b: 0, c: 0, d: 0, e: 1, f: 0 } },
    patch: { image },
    picture: { openNoise: 0.004 },
  }) as unknown as PlacedItem;
const part = (die: MeasuredRectangle) => ({ die, pad: null }) as unknown as PartMeasures;

/** Length of the last die after it was settled among five of 60 px. */
function settledLength(image: Image, die: MeasuredRectangle): number {
  const usual = picture(60, false);
  const items = [...Array.from({ length: 5 }, () => item(usual)), item(image)];
  const parts = [...Array.from({ length: 5 }, () => part(measured(usual, 60))), part(die)];
  return settleDies(items, parts)[5]?.die?.rectangle.lengthPx ?? 0;
}

describe("a die that differs from the usual size", () => {
  test("was misread where the usual outline holds as well", () => {
    const image = picture(60, true);
    const shorter = measured(image, 60);
    const misread = {
      ...shorter,
      rectangle: {
        ...shorter.rectangle,
        centrePx: [77.5, 80] as const,
        lengthPx: shorter.rectangle.lengthPx - 5,
      },
    };
    expect(settledLength(image, misread)).toBeCloseTo(60, 0);
  });

  test("keeps its size where no outline of the usual size holds", () => {
    const image = picture(54, false);
    expect(settledLength(image, measured(image, 54))).toBeCloseTo(54, 0);
  });
});
