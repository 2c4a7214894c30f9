import { describe, expect, it } from "vitest";
import { gaussianBlurPlain } from "../../../numeric/gaussian-blur.ts";
import type { Image } from "../../../numeric/image.ts";
import { createImage } from "../../../numeric/image.ts";
import { besideClip, findClip, withoutClip } from "./die-clip.ts";
import { fineSearch, lookInsideBody } from "./inside-body.ts";
import { measureDie } from "./measure-part.ts";

const body = { centrePx: [200, 150], angleRad: 0, lengthPx: 360, widthPx: 260 } as const;
const upright = { a: 1, b: 0, c: 0, d: 0, e: 1, f: 0 } as const;
const noise = 0.002;

/** Mould, a pad, a die within its fillet, and where asked a clip from the die to the leads on the right. */
function part(clip: boolean): Image {
  const image = createImage(400, 300);
  const add = (x0: number, x1: number, y0: number, y1: number, by: number) => {
    for (let y = y0; y < y1; y++)
      for (let x = x0; x < x1; x++)
        image.data[y * image.width + x] = (image.data[y * image.width + x] as number) + by;
  };
  add(20, 380, 20, 280, 0.13);
  add(30, 250, 30, 270, 0.85);
  add(340, 380, 60, 240, 0.85);
  add(58, 232, 54, 246, 0.1);
  add(64, 226, 60, 240, -0.07);
  if (clip) {
    add(72, 360, 68, 200, 0.38);
    // Over matter already dense a plate adds less (the beam is hard there) than over mould.
    add(250, 340, 68, 200, 0.3);
  }
  return gaussianBlurPlain(image, 1);
}

describe("a clip over the die", () => {
  const image = part(true);
  const seen = lookInsideBody(image, body, noise);
  const clip = findClip(image, body, seen, noise);

  it("is told from a die by running on over mould, with what it adds", () => {
    expect(clip).not.toBeNull();
    expect(clip?.adds).toBeCloseTo(0.38, 1);
    const { centrePx, lengthPx, widthPx } = clip?.rectangle ?? body;
    expect(centrePx[1]).toBeCloseTo(133.5, 0);
    expect(Math.min(lengthPx, widthPx)).toBeCloseTo(132, 0);
    expect(centrePx[0] - Math.max(lengthPx, widthPx) / 2).toBeCloseTo(71.5, 0);
  });

  it("is taken off, so that the die under it is measured", () => {
    const cleared = withoutClip(image, clip);
    const inside = lookInsideBody(cleared, body, noise, fineSearch);
    expect(inside.die).not.toBeNull();
    const die = inside.die && measureDie({ image: cleared }, inside.die, inside.dieLevel ?? 0, noise);
    expect(die?.rectangle.lengthPx).toBeCloseTo(162, 0);
    expect(die?.rectangle.widthPx).toBeCloseTo(180, 0);
  });

  it("makes a die's side less sure where its edge lies beside it, and no other", () => {
    const die = {
      rectangle: { centrePx: [152, 149.5], angleRad: 0, lengthPx: 162, widthPx: 180 },
      uLengthPx: 0.4,
      uWidthPx: 0.4,
      agreement: 0.9,
      sidesAlongPx: [[], [], [], []],
    } as const;
    const adds = 0.38;
    const near = { centrePx: [220, 149.5], angleRad: 0, lengthPx: 294, widthPx: 130 } as const;
    expect(besideClip(die, { rectangle: near, adds }, upright).uLengthPx).toBeGreaterThan(1.2);
    expect(besideClip(die, { rectangle: near, adds }, upright).uWidthPx).toBe(0.4);
    expect(besideClip(die, null, upright)).toBe(die);
  });

  it("is not seen in a part without one", () => {
    const bare = part(false);
    expect(findClip(bare, body, lookInsideBody(bare, body, noise, fineSearch), noise)).toBeNull();
  });
});
