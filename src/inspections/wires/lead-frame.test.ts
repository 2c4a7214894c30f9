import { describe, expect, it } from "vitest";
import type { Slab } from "../../../test/support/drawn-radiograph.ts";
import { drawnRadiograph, slab } from "../../../test/support/drawn-radiograph.ts";
import type { Image } from "../../numeric/image.ts";
import { fusedOtherwise } from "./fused-otherwise.ts";
import { readLeadFrame } from "./lead-frame.ts";

// A body 240 x 180 with six leads, a pad and two tie bars is drawn; which lead touches the pad is known.

const [width, height] = [300, 260];
const scene = {
  body: { centrePx: [150, 130] as const, angleRad: 0, lengthPx: 240, widthPx: 180 },
  die: { centrePx: [150, 130] as const, angleRad: 0, lengthPx: 70, widthPx: 50 },
  metalLevel: 0.6,
};
const columns = [90, 150, 210];

/** The lead frame; leads by index, clockwise from the top left, of which some run on into the pad. */
function frame(fused: readonly number[], outside: number): Slab[] {
  const top = columns.map((x, k) => lead(x, 40 - outside, fused.includes(k) ? 95 : 78));
  const bottom = [...columns]
    .reverse()
    .map((x, k) => lead(x, fused.includes(3 + k) ? 165 : 182, 219 + outside));
  return [
    slab(0.3, [30, 40], [269, 219]),
    // Leads and tie bars inside the body lie in mould of 0.3; outside in air.
    slab(0.7, [80, 90], [219, 169]),
    slab(0.7, [30, 126], [79, 134]),
    slab(0.7, [220, 126], [269, 134]),
    slab(0.15, [115, 105], [184, 154]),
    ...top,
    ...bottom,
  ];
}

function lead(x: number, from: number, to: number): Slab {
  // What lies over the pad already is not drawn twice.
  const [first, last] = [from > 150 ? Math.max(from, 170) : from, to < 150 ? Math.min(to, 89) : to];
  return slab(0.7, [x - 8, first], [x + 8, last]);
}

function drawn(fused: readonly number[], outside: number): Image {
  return {
    width,
    height,
    data: drawnRadiograph(width, height, frame(fused, outside), { noise: 0.004 }).attenuation,
  };
}

for (const { outside, name } of [
  { outside: 25, name: "that go on outside the body" },
  { outside: 0, name: "that end flush with the body" },
]) {
  describe(`leads ${name}`, () => {
    it("are all found, each told whether it runs on into the pad; tie bars are none", () => {
      for (const fused of [[], [0], [4], [1, 3]]) {
        const { leads: tips, bars } = readLeadFrame(drawn(fused, outside), scene);
        expect(bars.map((bar) => bar.side).sort()).toEqual([1, 3]);
        expect(tips.map((tip) => tip.lead)).toEqual([1, 2, 3, 4, 5, 6]);
        expect(tips.flatMap((tip, k) => (tip.fusedToPad ? [k] : []))).toEqual(fused);
        tips.forEach(({ tipPx: [x, y] }, k) => {
          expect(Math.abs(x - (columns[k < 3 ? k : 5 - k] as number))).toBeLessThan(9);
          // Free ones end at 78 and 182, 12 px before the pad; the others run into its edge at 90 and 169.
          const end = fused.includes(k) ? [85, 174] : [76, 184];
          expect(Math.abs(y - (end[k < 3 ? 0 : 1] as number))).toBeLessThan(5);
        });
      }
    });

    it("are held against those of an average, lead by lead", () => {
      const usual = readLeadFrame(drawn([4], outside), scene).leads;
      const differ = (fused: readonly number[]) =>
        fusedOtherwise(drawn(fused, outside), scene, usual).map((o) => [o.lead.lead, o.fusedToPad]);
      expect(differ([4])).toEqual([]);
      expect(differ([4, 2])).toEqual([[3, true]]);
      expect(differ([])).toEqual([[5, false]]);
    });
  });
}

describe("a body of mould alone", () => {
  it("says nothing of leads joined to a pad", () => {
    const usual = readLeadFrame(drawn([], 25), scene).leads;
    const mould = drawnRadiograph(width, height, [
      slab(0.3, [30, 40], [269, 219]),
      slab(0.05, [50, 60], [249, 199]),
    ]);
    const image = { width, height, data: mould.attenuation };
    expect(fusedOtherwise(image, { ...scene, metalLevel: 0.32 }, usual)).toEqual([]);
  });
});
