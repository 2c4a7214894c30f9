import { describe, expect, it } from "vitest";
import type { Slab } from "../../../test/support/drawn-radiograph.ts";
import { drawnRadiograph, slab } from "../../../test/support/drawn-radiograph.ts";
import type { OrientedRectangle } from "../../numeric/oriented-rectangle.ts";
import { readLeadFrame } from "./lead-frame.ts";
import { wiresAlone } from "./wires-alone.ts";

// One part is drawn: six leads around a die, straight wires to it.

const [width, height] = [260, 200];
const noise = 0.004;
const die: OrientedRectangle = { centrePx: [130, 100], angleRad: 0, lengthPx: 80, widthPx: 56 };
const scene = {
  body: { centrePx: [130, 100] as const, angleRad: 0, lengthPx: 240, widthPx: 180 },
  die,
  metalLevel: 0.6,
};
const tips = [90, 130, 170].flatMap((x): [number, number][] => [
  [x, 38],
  [x, 162],
]);

function wire([x, y]: readonly [number, number], dense: number): Slab {
  const to = [130 + 0.45 * (x - 130), y < 100 ? 76 : 124] as const;
  return {
    attenuation: dense,
    rect: {
      centrePx: [(x + to[0]) / 2, (y + to[1]) / 2],
      angleRad: Math.atan2(to[1] - y, to[0] - x),
      lengthPx: Math.hypot(to[0] - x, to[1] - y),
      widthPx: 2,
    },
  };
}

function states(wires: readonly Slab[], known: OrientedRectangle | null = die): string[] {
  const { attenuation } = drawnRadiograph(
    width,
    height,
    [
      slab(0.3, [10, 10], [249, 189]),
      slab(0.7, [75, 60], [184, 139]),
      slab(0.15, [90, 72], [169, 127]),
      ...tips.map(([x, y]) => slab(0.7, [x - 8, y < 100 ? 10 : 152], [x + 8, y < 100 ? 48 : 189])),
      ...wires,
    ],
    { noise },
  );
  const image = { width, height, data: attenuation };
  const { leads } = readLeadFrame(image, scene);
  const [own] = wiresAlone([{ image, die: known }], leads, scene, noise);
  return (own ?? []).map((w) => `${w.lead} ${w.state}`);
}

describe("the wires of a part alone", () => {
  it("are seen from the part itself", () => {
    const all = [1, 2, 3, 4, 5, 6].map((lead) => `${lead} seen`);
    expect(states(tips.map((tip) => wire(tip, 0.1)))).toEqual(all);
  });

  it("are seen too where its die is not known", () => {
    const seen = states(
      tips.map((tip) => wire(tip, 0.1)),
      null,
    );
    expect(seen.filter((s) => s.endsWith("seen"))).toHaveLength(6);
  });

  it("are not seen at leads that have none, and nothing more is said of those", () => {
    const some = tips.filter(([x]) => x !== 130).map((tip) => wire(tip, 0.1));
    const said = states(some);
    expect(said.filter((s) => s.endsWith("seen"))).toHaveLength(4);
    expect(said.some((s) => /absent|broken|elsewhere/.test(s))).toBe(false);
    expect(states([]).filter((s) => s.endsWith("seen"))).toEqual([]);
  });
});
