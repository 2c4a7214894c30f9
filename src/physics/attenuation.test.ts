import { existsSync, readFileSync } from "node:fs";
import path from "node:path";
import { describe, expect, it } from "vitest";
import { linearAttenuationPerMm, massAttenuationCm2PerG } from "./attenuation.ts";
import { attenuationTable } from "./attenuation-table.ts";
import { EnergyRangeError, UnknownMaterialError } from "./errors.ts";
import type { MaterialName } from "./material.ts";
import { materials } from "./material.ts";

const root = path.resolve(import.meta.dirname, "../..");
const nistFile = path.resolve(root, "../shared/reference/01b_attenuation_nist_check.json");
const slabFile = path.resolve(root, "../shared/reference/01d_transmission_worked.json");

/** Materials of the reference whose composition is the same here, under our names. */
const REFERENCE_NAMES: Readonly<Record<string, MaterialName>> = {
  Au: "gold",
  Cu: "copper",
  Ag: "silver",
  Al: "aluminium",
  Si: "silicon",
  Zn: "zinc",
  Ta: "tantalum",
  Pb: "lead",
  alloy42: "alloy42",
  EMC_86silica: "mould",
  FR4_halogenfree: "laminate",
  SAC305: "tinSilverCopper",
  Sn63Pb37: "tinLead",
  kovar: "kovar",
  alumina: "alumina",
  BaTiO3: "bariumTitanate",
};

describe("attenuation", () => {
  it.skipIf(!existsSync(nistFile))("agrees with the NIST SRD 126 grid within 0.2 % off the edges", () => {
    const { data } = JSON.parse(readFileSync(nistFile, "utf8")) as {
      data: Record<string, { rows: [number, number, number, number, number][] }>;
    };
    let checked = 0;
    for (const [symbol, { rows }] of Object.entries(data)) {
      if (attenuationTable[symbol] === undefined) continue;
      for (const [kev, published] of rows) {
        expect(
          Math.abs(massAttenuationCm2PerG(symbol, kev) / published - 1),
          `${symbol} at ${kev} keV`,
        ).toBeLessThan(0.002);
        checked++;
      }
    }
    expect(checked).toBeGreaterThan(150);
  });

  it.skipIf(!existsSync(slabFile))(
    "gives the worked slab transmissions (xraylib, ../shared/reference/01d)",
    () => {
      const { slabs } = JSON.parse(readFileSync(slabFile, "utf8")) as {
        slabs: {
          energies_keV: number[];
          rows: { slab: string; material: string; t_mm: number; T: number[] }[];
        };
      };
      let checked = 0;
      for (const row of slabs.rows) {
        const name = REFERENCE_NAMES[row.material];
        if (name === undefined) continue;
        slabs.energies_keV.forEach((kev, i) => {
          const t = Math.exp(-linearAttenuationPerMm(name, kev) * row.t_mm);
          // Relative error of the attenuation, not of a transmission that may be 1e-6.
          const reference = -Math.log(row.T[i]);
          expect(Math.abs(-Math.log(t) - reference), `${row.slab} at ${kev} keV`).toBeLessThan(
            2e-3 * reference + 2e-6,
          );
          checked++;
        });
      }
      expect(checked).toBeGreaterThan(200);
    },
  );

  it("keeps both sides of an absorption edge", () => {
    // xraylib 4.0.0 CS_Total, 0.1 % below and 0.05 % above the K edges of tin (29.2001 keV) and gold (80.7249 keV).
    const sides: [string, number, number][] = [
      ["Sn", 29.2001 * 0.999, 7.7808],
      ["Sn", 29.2001 * 1.0005, 43.5452],
      ["Au", 80.7249 * 0.999, 2.1418],
      ["Au", 80.7249 * 1.0005, 8.8909],
    ];
    for (const [symbol, kev, value] of sides) {
      expect(Math.abs(massAttenuationCm2PerG(symbol, kev) / value - 1), `${symbol} ${kev}`).toBeLessThan(
        1e-3,
      );
    }
  });

  it("has materials whose weights sum to one and whose elements are tabulated", () => {
    for (const [name, { weights }] of Object.entries(materials)) {
      const sum = Object.values(weights).reduce((a, b) => a + b, 0);
      expect(sum, name).toBeCloseTo(1, 9);
      expect(linearAttenuationPerMm(name as MaterialName, 50)).toBeGreaterThan(0);
    }
  });

  it("refuses what it does not know", () => {
    expect(() => massAttenuationCm2PerG("Xx", 50)).toThrow(UnknownMaterialError);
    expect(() => massAttenuationCm2PerG("Cu", 200)).toThrow(EnergyRangeError);
    expect(() => massAttenuationCm2PerG("Cu", Number.NaN)).toThrow(EnergyRangeError);
  });
});
