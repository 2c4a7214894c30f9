import { beforeAll, describe, expect, it } from "vitest";
import { inspectLot } from "../../src/inspections/lot/lot.ts";
import { defaultLotOptions } from "../../src/inspections/lot/options.ts";
import type { LotPart } from "../../src/inspections/lot/result.ts";
import type { PointPx } from "../../src/numeric/image.ts";
import { matchParts } from "../../src/simulate/match-parts.ts";
import { constructionOf } from "../../src/simulate/packages/families.ts";
import { lotLike, trayOf, usualExposure } from "../../src/simulate/usual-lot.ts";
import { simulatedLot } from "../support/simulated-sources.ts";

// Where wires run is known from the simulation that drew the pictures; it shares no code with the inspection.
const parts = 6;
const { sources, truth } = simulatedLot(
  lotLike("ball-grid", "Ball grid packages of one construction, a wire absent in one.", {
    constructions: [{ construction: constructionOf("g0", "BGA-144", "A"), count: parts }],
    layout: trayOf(2, 3),
    mmPerPx: 0.022,
    exposures: [{ ...usualExposure, kv: 100 }],
    faults: [{ fault: { kind: "wire-absent", pin: 40 }, count: 1 }],
  }),
  2011,
);

/** Distance from a point to a line between two. */
function aside([x, y]: PointPx, [x0, y0]: PointPx, [x1, y1]: PointPx): number {
  const along = ((x - x0) * (x1 - x0) + (y - y0) * (y1 - y0)) / ((x1 - x0) ** 2 + (y1 - y0) ** 2);
  const t = Math.min(1, Math.max(0, along));
  return Math.hypot(x - x0 - t * (x1 - x0), y - y0 - t * (y1 - y0));
}

describe("wires of ball grids, where no lead frame says where they end", () => {
  let found: readonly LotPart[];
  beforeAll(async () => {
    found = (await inspectLot(sources, defaultLotOptions)).findings.parts;
  }, 120_000);

  it("are told along the true ones beneath the balls, the absent one too", () => {
    const { matches } = matchParts(truth.images, found);
    let [right, wires] = [0, 0];
    for (const { truth: part, found: own } of matches) {
      for (const wire of part.wires) {
        const [x, y] = [0, 1].map(
          (k) => 0.3 * (wire.start_px[k] as number) + 0.7 * (wire.end_px[k] as number),
        );
        const middle: PointPx = [x as number, y as number];
        const told = own?.wires.filter((w) => aside(middle, w.fromPx, w.toPx) < 5).map((w) => w.state) ?? [];
        if (told.includes(wire.status === "present" ? "seen" : "absent")) right++;
        wires++;
      }
    }
    expect(wires).toBe(72 * parts);
    expect(right).toBeGreaterThanOrEqual(0.99 * wires);
  });

  it("have a part suspect for the absent one, and no other", () => {
    const { matches } = matchParts(truth.images, found);
    const faulty = matches.filter(({ truth: part }) => part.wires.some((w) => w.status === "absent"));
    expect(faulty).toHaveLength(1);
    expect(found.filter((p) => p.suspect).map((p) => p.id)).toEqual(faulty.map((m) => m.found?.id));
    expect(faulty[0]?.found?.calls.map((call) => call.kind)).toEqual(["wire-absent"]);
  });
});
