import { existsSync, readFileSync } from "node:fs";
import path from "node:path";
import { describe, expect, it } from "vitest";
import { EnergyRangeError } from "./errors.ts";
import type { MaterialName } from "./material.ts";
import type { FilterMm } from "./spectrum.ts";
import { beamSpectrum } from "./spectrum.ts";
import { transmission } from "./transmission.ts";

const spectrumFile = path.resolve(import.meta.dirname, "../../../shared/reference/01e_tube_spectrum.json");
const NAMES: Readonly<Record<string, MaterialName>> = {
  Al: "aluminium",
  Cu: "copper",
  Au: "gold",
  Si: "silicon",
  EMC_86silica: "mould",
  SAC305: "tinSilverCopper",
};

describe("transmission of a tube's beam", () => {
  it.skipIf(!existsSync(spectrumFile))(
    "agrees with the worked polychromatic slabs (Kramers on a 0.1 keV grid, ../shared/reference/01e)",
    () => {
      const rows = JSON.parse(readFileSync(spectrumFile, "utf8"))
        .polychromatic_transmission_energy_weighted as {
        kV: number;
        filter: [string, number][];
        material: string;
        t_mm: number[];
        T: number[];
      }[];
      for (const row of rows) {
        const filterMm: FilterMm = Object.fromEntries(row.filter.map(([s, mm]) => [NAMES[s], mm]));
        const beam = beamSpectrum({ kv: row.kV, filterMm, scintillatorMm: null, stepKev: 0.1 });
        row.t_mm.forEach((mm, i) => {
          const t = transmission(beam, { [NAMES[row.material]]: mm });
          const attenuation = Math.log(t) / Math.log(row.T[i]);
          expect(Math.abs(attenuation - 1), `${row.kV} kV, ${mm} mm ${row.material}`).toBeLessThan(0.003);
        });
      }
      expect(rows.length).toBeGreaterThan(15);
    },
  );

  it("loses under 0.5 % of a stack's attenuation by the 2 keV step that pictures are made with", () => {
    const stack = { mould: 0.97, copper: 0.2, silicon: 0.28, gold: 0.025 };
    for (const kv of [70, 80, 95, 110]) {
      const fine = -Math.log(
        transmission(beamSpectrum({ kv, filterMm: { aluminium: 1 }, stepKev: 0.1 }), stack),
      );
      const coarse = -Math.log(
        transmission(beamSpectrum({ kv, filterMm: { aluminium: 1 }, stepKev: 2 }), stack),
      );
      expect(Math.abs(coarse / fine - 1)).toBeLessThan(0.005);
    }
  });

  it("hardens: a second slab takes less than the first", () => {
    const beam = beamSpectrum({ kv: 80, filterMm: { aluminium: 1 } });
    const first = transmission(beam, { copper: 0.2 });
    const both = transmission(beam, { copper: 0.4 });
    expect(both / first).toBeGreaterThan(first);
  });

  it("adds K lines only above the edge of tungsten", () => {
    const plain = beamSpectrum({ kv: 100, filterMm: {} });
    const lines = beamSpectrum({ kv: 100, filterMm: {}, lines: true });
    const at = lines.kev.findIndex((e) => Math.abs(e - 59.5) < 0.51);
    expect(lines.weight[at]).toBeGreaterThan(1.2 * plain.weight[at]);
    expect(beamSpectrum({ kv: 60, filterMm: {}, lines: true }).weight).toEqual(
      beamSpectrum({ kv: 60, filterMm: {} }).weight,
    );
  });

  it("refuses a voltage outside the table", () => {
    expect(() => beamSpectrum({ kv: 220, filterMm: {} })).toThrow(EnergyRangeError);
  });
});
