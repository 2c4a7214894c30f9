import { beforeAll, describe, expect, it } from "vitest";
import { drawnLot } from "../../../../test/support/drawn-lot.ts";
import { drawnPart, drawnPartPx } from "../../../../test/support/drawn-part.ts";
import { drawnRadiograph, placed, slab } from "../../../../test/support/drawn-radiograph.ts";
import { gaussianBlurPlain } from "../../../numeric/gaussian-blur.ts";
import type { Image } from "../../../numeric/image.ts";
import { createImage } from "../../../numeric/image.ts";
import type { Patch } from "../finding/patch.ts";
import { countLeads, intoPatch, levelInside, measureDie, measurePad } from "./measure-part.ts";

// The part is drawn: its sizes are known by construction (test/support/drawn-part.ts).
const turnRad = (2.4 * Math.PI) / 180;
const levels = { mould: 0.4, metal: 1.2, between: 0.8 };
let patch: Patch;
beforeAll(async () => {
  [{ patch }] = await drawnLot([{ turnDeg: 2.4 }]);
});

/** Where a look at the body would start: a few pixels and a degree off. */
const near = ([length, width]: readonly [number, number]) => ({
  centrePx: [patch.body.centrePx[0] + 1.5, patch.body.centrePx[1] - 1] as const,
  angleRad: turnRad + 0.015,
  lengthPx: length - 2,
  widthPx: width + 2,
});

describe("a die pad", () => {
  it("is measured to a third of a pixel, half-way between metal and mould", () => {
    const pad = measurePad(patch, near(drawnPartPx.pad), levels);
    expect(Math.abs((pad?.rectangle.lengthPx ?? 0) - drawnPartPx.pad[0])).toBeLessThan(0.35);
    expect(Math.abs((pad?.rectangle.widthPx ?? 0) - drawnPartPx.pad[1])).toBeLessThan(0.35);
    expect(Math.abs((pad?.rectangle.angleRad ?? 0) - turnRad)).toBeLessThan(0.005);
    expect(pad?.agreement).toBeGreaterThan(0.9);
    // Expanded by 2, the stated doubt covers the error.
    expect(Math.abs((pad?.rectangle.lengthPx ?? 0) - drawnPartPx.pad[0])).toBeLessThan(
      2 * (pad?.uLengthPx ?? 0),
    );
  });

  it("is not measured where there is none", () => {
    const start = {
      ...near([20, 14]),
      centrePx: [patch.body.centrePx[0] + 45, patch.body.centrePx[1] + 20] as const,
    };
    expect(measurePad(patch, start, levels)).toBeNull();
  });
});

describe("a die", () => {
  it("is measured to half a pixel where its level is left", () => {
    const die = measureDie(patch, near(drawnPartPx.die), 1.5, 0.004);
    expect(Math.abs((die?.rectangle.lengthPx ?? 0) - drawnPartPx.die[0])).toBeLessThan(0.5);
    expect(Math.abs((die?.rectangle.widthPx ?? 0) - drawnPartPx.die[1])).toBeLessThan(0.5);
    expect(Math.abs((die?.rectangle.lengthPx ?? 0) - drawnPartPx.die[0])).toBeLessThan(
      2 * (die?.uLengthPx ?? 0),
    );
  });

  it("is measured where a wide fillet fades along one side", () => {
    const image = gaussianBlurPlain(dieWithFillet({ fadesAlong: 0.6 }), 0.9);
    const start = { centrePx: [101, 79], angleRad: 0.01, lengthPx: 119, widthPx: 81 } as const;
    const die = measureDie({ image }, start, 1.1, 0.015, null, { fading: true });
    expect(Math.abs((die?.rectangle.lengthPx ?? 0) - 120)).toBeLessThan(2 * (die?.uLengthPx ?? 0));
    expect(Math.abs((die?.rectangle.widthPx ?? 0) - 80)).toBeLessThan(2 * (die?.uWidthPx ?? 0));
  });

  it("is not measured on a bare pad", async () => {
    const [{ patch: bare }] = await drawnLot([{ turnDeg: 2.4, part: drawnPart("die") }]);
    expect(measureDie(bare, near(drawnPartPx.die), 1.2, 0.004)).toBeNull();
  });
});

/** A die of 120 x 80 px on a pad, within a fillet 6 to 12 px wide that is missing along a share of the lower side. */
function dieWithFillet({ fadesAlong }: { fadesAlong: number }): Image {
  const image = createImage(200, 160);
  for (let y = 0; y < image.height; y++) {
    for (let x = 0; x < image.width; x++) {
      const [dx, dy] = [Math.abs(x - 99.5) - 60, Math.abs(y - 79.5) - 40];
      const beyond = Math.max(dx, dy);
      const bare = y > 119 && x - 39.5 < fadesAlong * 120;
      const reach = 9 + 3 * Math.sin((x + 2 * y) / 9);
      const fillet = beyond > 0 && !bare ? 0.3 * Math.max(0, 1 - beyond / reach) : 0;
      image.data[y * image.width + x] = beyond <= 0 ? 1.1 : 1 + fillet;
    }
  }
  return image;
}

describe("leads", () => {
  const frame = (matter = drawnPart()): Image => {
    const { attenuation: data } = drawnRadiograph(161, 141, placed(matter, [80, 70]));
    return { width: 161, height: 141, data };
  };
  const body = { centrePx: [80, 70], angleRad: 0, lengthPx: 120, widthPx: 80 } as const;

  it("are counted with their pitch", () => {
    const leads = countLeads(frame(), body, [60, drawnPartPx.reach], 0.1);
    expect(leads).toEqual({ count: drawnPartPx.leads, pitchPx: drawnPartPx.pitch });
  });

  it("are not what is left of cut tie bars at the body's ends", () => {
    const stubs = [slab(1, [-65, -5], [-60, 5]), slab(1, [60, -5], [65, 5])];
    const withStubs = frame([...drawnPart(), ...stubs]);
    expect(countLeads(withStubs, body, [65, drawnPartPx.reach], 0.1)).toEqual({
      count: drawnPartPx.leads,
      pitchPx: drawnPartPx.pitch,
    });
  });

  it("are none where nothing stands out of the body", () => {
    expect(countLeads(frame(), body, [60, 41], 0.1)).toBeNull();
    expect(countLeads(frame([slab(0.4, [-60, -40], [59, 39])]), body, [60, 56], 0.1)).toBeNull();
  });

  it("are not counted where the picture cuts them", () => {
    const above = { ...body, centrePx: [80, 30] } as const;
    expect(countLeads(frame(), above, [60, drawnPartPx.reach + 40], 0.1)).toBe("cut");
  });
});

describe("places of the frame in a part's own patch", () => {
  it("turn, shrink and move with the map", () => {
    // A quarter turn clockwise at twice the size: (3, 4) comes to lie at (-2 * 4 + 50, 2 * 3 + 7).
    const map = { a: 0, b: -2, c: 50, d: 2, e: 0, f: 7 };
    const rect = intoPatch(map, { centrePx: [3, 4], angleRad: 0.1, lengthPx: 10, widthPx: 6 });
    expect(rect.centrePx).toEqual([42, 13]);
    expect(rect.angleRad).toBeCloseTo(0.1 + Math.PI / 2, 12);
    expect(rect).toMatchObject({ lengthPx: 20, widthPx: 12 });
  });

  it("have the middle of their values as their level", () => {
    const image: Image = { width: 3, height: 1, data: Float32Array.of(5, 1, 2) };
    const rect = { centrePx: [1, 0], angleRad: 0, lengthPx: 3, widthPx: 1 } as const;
    expect(levelInside(image, rect)).toBe(2);
    expect(levelInside(image, { ...rect, centrePx: [9, 9] })).toBeNull();
  });
});
