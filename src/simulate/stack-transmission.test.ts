import { describe, expect, it } from "vitest";
import type { MaterialName } from "../physics/material.ts";
import { beamSpectrum } from "../physics/spectrum.ts";
import { transmission } from "../physics/transmission.ts";
import { seededRandom } from "../statistics/random.ts";
import { stackTransmission } from "./stack-transmission.ts";

const materials: MaterialName[] = ["copper", "mould", "polystyrene", "silicon"];
const beam = beamSpectrum({ kv: 80, filterMm: { aluminium: 1 }, stepKev: 2 });
const through = stackTransmission(materials, beam, new Set<MaterialName>(["polystyrene"]));

describe("stackTransmission", () => {
  it("lets matter take the mould's place, but not matter outside it", () => {
    expect(through(Float64Array.of(0.2, 1.4, 0.5, 0.3))).toBeCloseTo(
      transmission(beam, { copper: 0.2, mould: 0.9, silicon: 0.3, polystyrene: 0.5 }),
      5,
    );
    // More metal than mould (a lead outside the body): no mould, none below zero.
    expect(through(Float64Array.of(0.75, 0.1, 0, 0))).toBeCloseTo(transmission(beam, { copper: 0.75 }), 5);
    expect(through(Float64Array.of(-0.1, 1, 0, 0))).toBeCloseTo(transmission(beam, { mould: 1 }), 5);
  });

  it("gives the same for a stack whatever came before", () => {
    const random = seededRandom("stacks");
    const stacks = Array.from({ length: 9000 }, () =>
      Float64Array.from(materials, () => random.between(-0.1, 1)),
    );
    const first = stacks.map(through);
    const again = stacks.map(through);
    expect(again).toEqual(first);
    expect(new Set(first).size).toBeGreaterThan(8000);
  });
});
