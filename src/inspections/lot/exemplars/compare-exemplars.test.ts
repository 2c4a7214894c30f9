import { beforeAll, describe, expect, it } from "vitest";
import { simulatedLot } from "../../../../test/support/simulated-sources.ts";
import { plainDetector } from "../../../simulate/detector.ts";
import { constructionOf } from "../../../simulate/packages/families.ts";
import { lotLike, trayOf, usualExposure } from "../../../simulate/usual-lot.ts";
import type { InspectedLot } from "../lot.ts";
import { inspectLot } from "../lot.ts";
import { defaultLotOptions } from "../options.ts";

// What each exemplar is, is known: pictures come from the simulator, their technique differs from the lot's.

const mmPerPx = 0.02;
const own = constructionOf("g0", "SO-8", "A");

interface Taken {
  readonly kv: number;
  readonly mmPerPx: number;
  readonly inverted?: boolean;
}

function exemplarOf(name: string, construction: typeof own, { kv, mmPerPx: scale, inverted = false }: Taken) {
  const widthPx = Math.round(9.5 / scale);
  const spec = lotLike(
    name,
    "One part of known origin.",
    {
      constructions: [{ construction, count: 1 }],
      layout: { kind: "single", widthPx, heightPx: widthPx },
      mmPerPx: scale,
      exposures: [{ ...usualExposure, kv, detector: { ...plainDetector, inverted } }],
    },
    { turnsDeg: "any", mirroredShare: 0.5 },
  );
  return simulatedLot(spec, 3).sources.map((source) => ({ name, source }));
}

describe("a lot of nine compared with exemplars of other techniques", () => {
  let lot: InspectedLot;
  let names: string[];
  beforeAll(async () => {
    const spec = lotLike("lot", "Nine SO-8.", {
      constructions: [{ construction: own, count: 9 }],
      layout: trayOf(3, 3),
      mmPerPx,
    });
    const [length, width, thickness] = own.dieMm as readonly [number, number, number];
    const exemplars = [
      ...exemplarOf("same, 60 kV, finer", own, { kv: 60, mmPerPx: 0.013 }),
      ...exemplarOf("same, 110 kV, coarser", own, { kv: 110, mmPerPx: 0.026 }),
      ...exemplarOf("same, dense is bright", own, { kv: 90, mmPerPx, inverted: true }),
      ...exemplarOf(
        "die 10 % larger",
        { ...own, dieMm: [1.1 * length, 1.1 * width, thickness] },
        { kv: 100, mmPerPx: 0.015 },
      ),
      ...exemplarOf(
        "other frame",
        { ...constructionOf("g1", "SO-8", "B"), dieMm: own.dieMm },
        { kv: 100, mmPerPx: 0.015 },
      ),
      ...exemplarOf("other package", constructionOf("g2", "QFN-32", "A"), { kv: 80, mmPerPx }),
    ];
    names = exemplars.map(({ name }) => name);
    const sources = exemplars.map(({ source }) => source);
    lot = await inspectLot(simulatedLot(spec, 2).sources, defaultLotOptions, undefined, undefined, {
      sources,
    });
  }, 60_000);

  const against = (name: string) => {
    const exemplar = lot.findings.exemplars[names.indexOf(name)];
    return exemplar?.against[0] ?? { verdict: "none", because: [] };
  };

  it.each(["same, 60 kV, finer", "same, 110 kV, coarser", "same, dense is bright"])(
    "agrees with the construction it is: %s",
    (name) => {
      expect(against(name)).toMatchObject({ verdict: "agrees", because: [] });
    },
  );

  it("differs from a larger die in one of its sides, by a tenth of it", () => {
    const { verdict, because } = against("die 10 % larger");
    expect(verdict).toBe("differs");
    const [length, width] = own.dieMm as readonly [number, number, number];
    for (const { measurement, by } of because) {
      const side = { dieLength: length, dieWidth: width }[measurement];
      expect(side, measurement).toBeDefined();
      // The lot's die is smaller by 10 % of it, in px of the lot; within U and the part's own spread of scale.
      expect(Math.abs((by.value ?? 0) + (0.1 * (side as number)) / mmPerPx)).toBeLessThan(2.5);
    }
  });

  it("differs from the same die on another lead frame in its outlines", () => {
    const { verdict, because } = against("other frame");
    expect(verdict).toBe("differs");
    expect(because.map((b) => b.measurement)).toContain("outline");
    expect(because.map((b) => b.measurement)).not.toContain("dieLength");
  });

  it("never agrees with another package", () => {
    expect(against("other package").verdict).toBe("differs");
  });

  it("agrees as a lot, since one of the exemplars is its construction, and keeps exemplars out of its parts", () => {
    expect(lot.findings.identity).toBe("agrees-with-exemplar");
    expect(lot.findings.groups.map((g) => [g.size, g.againstExemplar])).toEqual([[9, "agrees"]]);
    expect(lot.findings.suspects).toEqual([]);
    expect(lot.findings.parts).toHaveLength(9);
    expect(lot.exemplarPictures).toHaveLength(6);
  });

  it("brings the exemplar's scale out: px of its picture over px of the lot's", () => {
    const exemplar = lot.findings.exemplars[names.indexOf("same, 60 kV, finer")];
    expect(Math.abs((exemplar?.relativeScale ?? 0) / (mmPerPx / 0.013) - 1)).toBeLessThan(0.01);
  });
});
