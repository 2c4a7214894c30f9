import { describe, expect, it } from "vitest";
import type { Image, PointPx } from "../../numeric/image.ts";
import { createImage } from "../../numeric/image.ts";
import { commonFingers } from "./common-fingers.ts";
import type { FingerWire } from "./finger-wires.ts";
import { findFingerWires } from "./finger-wires.ts";

const [width, height] = [320, 320];
const body = { centrePx: [160, 160], angleRad: 0, lengthPx: 310, widthPx: 310 } as const;
const die = { centrePx: [160, 160], angleRad: 0, lengthPx: 140, widthPx: 120 } as const;
const openNoise = 0.004;

/** Ends of the wires drawn: from the die's edge out, slanting outwards. */
const ends: readonly (readonly [from: PointPx, to: PointPx])[] = [
  ...[-50, -25, 0, 25, 50].flatMap((u): [PointPx, PointPx][] => [
    [
      [160 + u, 100],
      [160 + 1.4 * u, 62],
    ],
    [
      [160 + u, 220],
      [160 + 1.4 * u, 258],
    ],
    [
      [90, 160 + 0.8 * u],
      [52, 160 + 1.2 * u],
    ],
    [
      [230, 160 + 0.8 * u],
      [268, 160 + 1.2 * u],
    ],
  ]),
];

/** Mould, a die, lines of a Gaussian profile, a fainter track across them, deterministic noise. */
function drawn(lines: typeof ends): Image {
  const image = createImage(width, height);
  let seed = 7;
  for (let i = 0; i < image.data.length; i++) {
    const [x, y] = [i % width, Math.floor(i / width)];
    seed = (seed * 16807) % 2147483647;
    const inDie = Math.abs(x - 160) < 70 && Math.abs(y - 160) < 60;
    let value = 0.2 + (inDie ? 0.25 : 0) + openNoise * 3.46 * (seed / 2147483647 - 0.5);
    if (Math.abs(y - 0.5 * x - 200) < 3) value += 0.03;
    for (const [[x0, y0], [x1, y1]] of lines) {
      const length = Math.hypot(x1 - x0, y1 - y0);
      const [c, s] = [(x1 - x0) / length, (y1 - y0) / length];
      const along = (x - x0) * c + (y - y0) * s;
      const across = (y - y0) * c - (x - x0) * s;
      if (along > -6 && along < length) value += 0.12 * Math.exp(-0.5 * (across / 1.1) ** 2);
    }
    image.data[i] = value;
  }
  return image;
}

const off = (p: PointPx, q: PointPx) => Math.hypot(p[0] - q[0], p[1] - q[1]);

describe("wires found by themselves", () => {
  it("run from the die to their free ends, and nothing else is one", () => {
    const found = findFingerWires(drawn(ends), { body, die }, 3, openNoise);
    expect(found).toHaveLength(ends.length);
    for (const [, to] of ends) expect(Math.min(...found.map((w) => off(w.fingerPx, to)))).toBeLessThan(3);
  });

  it("are none where there are none", () => {
    expect(findFingerWires(drawn([]), { body, die }, 3, openNoise)).toEqual([]);
  });
});

describe("wires that parts share", () => {
  const wire = (fromPx: PointPx, fingerPx: PointPx): FingerWire => ({ fromPx, fingerPx, contrast: 0.1 });
  const part = (dx: number): FingerWire[] =>
    [0, 12, 24, 36].map((x) => wire([100 + x, 100], [100 + 1.1 * x + dx, 60]));

  it("are those of the parts, each once, between where they lie", () => {
    const found = commonFingers([part(-1), part(0), part(1).slice(1), part(0.5)]);
    expect(found).toHaveLength(4);
    for (const [k, x] of [0, 12, 24, 36].entries())
      expect(Math.min(...found.map((w) => off(w.fingerPx, [100 + 1.1 * x, 60]))), `wire ${k}`).toBeLessThan(
        1.1,
      );
  });

  it("leave out what one part alone shows, and what crosses a wire of more parts", () => {
    const odd = wire([160, 100], [175, 60]);
    const across = wire([120, 100], [105, 70]);
    const found = commonFingers([[...part(0), odd], [...part(0), across], [...part(0), across], part(0)]);
    expect(found).toHaveLength(4);
  });
});
