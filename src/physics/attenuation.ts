import { attenuationTable } from "./attenuation-table.ts";
import { EnergyRangeError, UnknownMaterialError } from "./errors.ts";
import type { Material, MaterialName } from "./material.ts";
import { materials } from "./material.ts";

/**
 * Mass attenuation of an element in cm2/g at `kev`, by log-log interpolation of the table.
 *
 * @param symbol element symbol, "Cu"
 * @param kev photon energy, 5-160 keV
 * @throws UnknownMaterialError for an element that is not tabulated
 * @throws EnergyRangeError outside the table
 */
export function massAttenuationCm2PerG(symbol: string, kev: number): number {
  const element = attenuationTable[symbol];
  if (element === undefined) throw new UnknownMaterialError(symbol, Object.keys(attenuationTable));
  const energies = element.kev;
  const last = energies.length - 1;
  if (!(kev >= energies[0] && kev <= energies[last]))
    throw new EnergyRangeError(kev, energies[0], energies[last]);
  let low = 0;
  let high = last;
  while (high - low > 1) {
    const middle = (low + high) >> 1;
    if (energies[middle] <= kev) low = middle;
    else high = middle;
  }
  const e0 = energies[low];
  const e1 = energies[high];
  const m0 = element.massAttenuationCm2PerG[low];
  const m1 = element.massAttenuationCm2PerG[high];
  const share = Math.log(kev / e0) / Math.log(e1 / e0);
  return m0 * (m1 / m0) ** share;
}

/**
 * Linear attenuation of a material in 1/mm at `kev`.
 *
 * @param material a name of `materials`, or a composition
 * @throws UnknownMaterialError, EnergyRangeError as `massAttenuationCm2PerG`
 */
export function linearAttenuationPerMm(material: MaterialName | Material, kev: number): number {
  const { densityGPerCm3, weights }: Material = typeof material === "string" ? materials[material] : material;
  let mass = 0;
  for (const [symbol, weight] of Object.entries(weights))
    mass += weight * massAttenuationCm2PerG(symbol, kev);
  return (mass * densityGPerCm3) / 10;
}
