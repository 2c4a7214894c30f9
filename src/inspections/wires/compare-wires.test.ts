import { beforeAll, describe, expect, it } from "vitest";
import type { Slab } from "../../../test/support/drawn-radiograph.ts";
import { drawnRadiograph, placed, slab } from "../../../test/support/drawn-radiograph.ts";
import type { Image } from "../../numeric/image.ts";
import { stackQuantile } from "../../numeric/stack-quantile.ts";
import type { ComparedWires } from "./compare-wires.ts";
import { compareWires } from "./compare-wires.ts";
import { judgeExtraPart } from "./judge-extra-part.ts";
import { readLeadFrame } from "./lead-frame.ts";
import type { WirePart } from "./wire-parts.ts";

// Parts are drawn: where each wire runs, and which is missing, is known by construction.

const [width, height] = [260, 200];
const body = { centrePx: [130, 100] as const, angleRad: 0, lengthPx: 240, widthPx: 180 };
/** Inner lead ends around a die 80 x 56, and where each wire is bonded on it. */
const bonds: readonly { tip: readonly [number, number]; on: readonly [number, number] }[] = [
  { tip: [90, 38], on: [112, 84] },
  { tip: [130, 38], on: [130, 84] },
  { tip: [170, 38], on: [148, 84] },
  { tip: [170, 162], on: [148, 116] },
  { tip: [130, 162], on: [130, 116] },
  { tip: [90, 162], on: [112, 116] },
];

/** A wire two px wide, bowed aside in its middle. */
function wire(
  from: readonly [number, number],
  to: readonly [number, number],
  dense: number,
  bowPx = 0,
): Slab[] {
  const pieces = 8;
  const [dx, dy] = [to[0] - from[0], to[1] - from[1]];
  const length = Math.hypot(dx, dy);
  const at = (t: number): [number, number] => {
    const side = 4 * t * (1 - t) * bowPx;
    return [from[0] + t * dx - (side * dy) / length, from[1] + t * dy + (side * dx) / length];
  };
  return Array.from({ length: pieces }, (_, k) => {
    const [p, q] = [at(k / pieces), at((k + 1) / pieces)];
    return {
      attenuation: dense,
      rect: {
        centrePx: [(p[0] + q[0]) / 2, (p[1] + q[1]) / 2] as const,
        angleRad: Math.atan2(q[1] - p[1], q[0] - p[0]),
        lengthPx: Math.hypot(q[0] - p[0], q[1] - p[1]),
        widthPx: 2,
      },
    };
  });
}

interface Made {
  /** Wires left out, by index of `bonds`. */
  readonly without?: readonly number[];
  readonly broken?: number;
  /** Drawn in addition. */
  readonly more?: readonly Slab[];
  readonly dense?: number;
  readonly noise?: number;
}

/** One part: its die shifted and turned, its wires swept, each by an amount of its own. */
function part(index: number, made: Made = {}): WirePart {
  const { without = [], broken = -1, more = [], dense = 0.1, noise = 0.004 } = made;
  const shift = [2.5 * Math.sin(3 * index), 2 * Math.cos(5 * index)] as const;
  const turnDeg = Math.sin(7 * index);
  const turn = (turnDeg * Math.PI) / 180;
  const [c, s] = [Math.cos(turn), Math.sin(turn)];
  const centre = [130 + shift[0], 100 + shift[1]] as const;
  const onDie = ([x, y]: readonly [number, number]): [number, number] => [
    centre[0] + c * (x - 130) - s * (y - 100),
    centre[1] + s * (x - 130) + c * (y - 100),
  ];
  const wires = bonds.flatMap(({ tip, on }, k) => {
    if (without.includes(k)) return [];
    const pieces = wire(tip, onDie(on), dense, 2 * Math.sin(11 * index + k));
    return k === broken ? pieces.filter((_, p) => p < 3 || p > 4) : pieces;
  });
  const die = { centrePx: centre, angleRad: turn, lengthPx: 80, widthPx: 56 };
  const matter = [
    slab(0.3, [10, 10], [249, 189]),
    slab(0.7, [75, 60], [184, 139]),
    ...placed([slab(0.15, [-39.5, -27.5], [39.5, 27.5])], centre, turnDeg),
    ...bonds.map(({ tip: [x, y] }) => slab(0.7, [x - 8, y < 100 ? 10 : 152], [x + 8, y < 100 ? 48 : 189])),
    ...wires,
    ...more,
  ];
  const { attenuation } = drawnRadiograph(width, height, matter, { noise });
  return { image: { width, height, data: attenuation }, die };
}

function compared(parts: readonly WirePart[], noise = 0.004): ComparedWires {
  const average: Image = stackQuantile(
    parts.map((p) => p.image),
    0.5,
  );
  const scene = {
    body,
    die: { centrePx: [130, 100] as const, angleRad: 0, lengthPx: 80, widthPx: 56 },
    metalLevel: 0.6,
  };
  return compareWires(parts, readLeadFrame(average, scene).leads, scene, noise) as ComparedWires;
}

function states({ parts }: ComparedWires, index: number): string[] {
  return [...(parts[index] as ComparedWires["parts"][number])]
    .sort((p, q) => p.lead - q.lead)
    .map((w) => w.state);
}

const whole = new Array(6).fill("seen");

describe("ten parts of which some have a wire fault", () => {
  let wires: ComparedWires;
  const made: readonly Made[] = [
    {},
    {},
    { without: [1] },
    {},
    { broken: 4 },
    {},
    { without: [3], more: wire([170, 162], [98, 105], 0.1) },
    {},
    {},
    {},
  ];
  beforeAll(() => {
    wires = compared(made.map((of, i) => part(i, of)));
  });

  it("show a wire from each of the six leads", () => {
    expect(wires.leads).toBe(6);
    expect(wires.bonded).toHaveLength(6);
  });

  it("have each fault told, and nothing else", () => {
    made.forEach((_, i) => {
      const expected = [...whole];
      if (i === 2) expected[1] = "absent";
      if (i === 4) expected[4] = "broken";
      if (i === 6) expected[3] = "elsewhere";
      expect(states(wires, i), `part ${i}`).toEqual(expected);
    });
  });

  it("have the ends of their wires at the lead and at the die's edge", () => {
    for (const wire of wires.parts[0] as ComparedWires["parts"][number]) {
      const bond = bonds[wire.lead - 1] as (typeof bonds)[number];
      const [dx, dy] = [bond.on[0] - bond.tip[0], bond.on[1] - bond.tip[1]];
      const aside = ([x, y]: readonly [number, number]) =>
        Math.abs((x - bond.tip[0]) * dy - (y - bond.tip[1]) * dx) / Math.hypot(dx, dy);
      expect(aside(wire.fromPx)).toBeLessThan(4);
      expect(aside(wire.toPx)).toBeLessThan(5);
    }
  });
});

describe("leads without a wire", () => {
  it("are no missing wires where no part has one, and a wire from one of them is elsewhere", () => {
    const bare = { without: [4] };
    const wires = compared(Array.from({ length: 9 }, (_, i) => part(i, i === 5 ? {} : bare)));
    expect(wires.bonded).toHaveLength(5);
    expect(states(wires, 0)).toEqual(new Array(5).fill("seen"));
    expect(states(wires, 5)).toEqual(["seen", "seen", "seen", "seen", "elsewhere", "seen"]);
  });
});

describe("wires that hardly show", () => {
  it("are not called missing: thin aluminium in noise", () => {
    const wires = compared(
      Array.from({ length: 8 }, (_, i) =>
        part(i, { dense: 0.003, noise: 0.01, without: i === 3 ? [0] : [] }),
      ),
      0.01,
    );
    const said = wires.parts.flat().filter((w) => w.state !== "not-assessable" && w.state !== "seen");
    expect(said).toEqual([]);
  });

  it("are compared with their like at the exposure of their part", () => {
    const wires = compared(Array.from({ length: 10 }, (_, i) => part(i, { dense: i % 2 ? 0.06 : 0.12 })));
    for (let i = 0; i < 10; i++) expect(states(wires, i)).toEqual(whole);
  });
});

describe("ten parts of which half have no wire at one lead", () => {
  it("are bonded in two ways, each part told which", () => {
    const wires = compared(Array.from({ length: 10 }, (_, i) => part(i, i % 2 ? { without: [4] } : {})));
    expect(wires.split?.leads).toEqual([5]);
    expect(wires.split?.bonded).toEqual(Array.from({ length: 10 }, (_, i) => [i % 2 === 0]));
    for (let i = 0; i < 10; i++) expect(states(wires, i)).toEqual(new Array(5).fill("seen"));
  });

  it("are in one way where a single one lacks it, or none has it", () => {
    expect(
      compared(Array.from({ length: 8 }, (_, i) => part(i, i === 3 ? { without: [4] } : {}))).split,
    ).toBeNull();
    expect(compared(Array.from({ length: 8 }, (_, i) => part(i, { without: [4] }))).split).toBeNull();
  });
});

describe("few parts", () => {
  it("tell what their wires have in common from three on", () => {
    expect(compared(Array.from({ length: 2 }, (_, i) => part(i)))).toBeNull();
    const wires = compared(Array.from({ length: 3 }, (_, i) => part(i, i === 1 ? { without: [2] } : {})));
    expect(wires.bonded).toHaveLength(6);
    expect(states(wires, 0)).toEqual(whole);
    expect(states(wires, 1)).toEqual(["seen", "seen", "absent", "seen", "seen", "seen"]);
    expect(states(wires, 2)).toEqual(whole);
  });
});

describe("a part that is none of the group", () => {
  const group = compared(Array.from({ length: 6 }, (_, i) => part(i)));
  const judged = (made: Made) =>
    [...judgeExtraPart(group, part(20, made))].sort((p, q) => p.lead - q.lead).map((w) => w.state);

  it("is held against the group's wires", () => {
    expect(judged({})).toEqual(whole);
    expect(judged({ without: [4] })).toEqual(["seen", "seen", "seen", "seen", "absent", "seen"]);
  });

  it("is so at its own exposure", () => {
    expect(judged({ dense: 0.07 })).toEqual(whole);
    expect(judged({ dense: 0.2, without: [0] })).toEqual(["absent", "seen", "seen", "seen", "seen", "seen"]);
  });

  it("is left open where its noise hides them", () => {
    const said = judged({ noise: 0.12, without: [1] });
    expect(said).not.toContain("absent");
    expect(said).not.toContain("elsewhere");
  });
});

describe("lead tips", () => {
  it("are those of the pieces of metal that are not the pad, clockwise from the top left", () => {
    const { image } = part(0);
    const { leads: tips } = readLeadFrame(image, {
      body,
      die: { centrePx: [130, 100], angleRad: 0, lengthPx: 80, widthPx: 56 },
      metalLevel: 0.6,
    });
    expect(tips.map((t) => t.tipPx.map(Math.round))).toEqual(
      bonds.map(({ tip: [x, y] }) => [expect.closeTo(x, -0.7), expect.closeTo(y < 100 ? 46 : 154, -0.7)]),
    );
  });
});
