import { linearAttenuationPerMm } from "./attenuation.ts";
import type { MaterialName } from "./material.ts";
import type { Spectrum } from "./spectrum.ts";

/**
 * Share of the signal that passes a stack: sum of weight * exp(-sum of mu * thickness).
 *
 * @param spectrum weights that sum to 1
 * @param stackMm thickness in mm by material
 * @returns 0..1
 */
export function transmission(
  spectrum: Spectrum,
  stackMm: Readonly<Partial<Record<MaterialName, number>>>,
): number {
  let sum = 0;
  for (let i = 0; i < spectrum.kev.length; i++) {
    let path = 0;
    for (const [name, mm] of Object.entries(stackMm)) {
      path += mm * linearAttenuationPerMm(name as MaterialName, spectrum.kev[i]);
    }
    sum += spectrum.weight[i] * Math.exp(-path);
  }
  return sum;
}
