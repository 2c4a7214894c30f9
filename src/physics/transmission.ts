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

/**
 * The same beam on fewer energies, so that many pixels cost little: neighbours are merged until each
 * bin holds about the same weight, at their weighted mean energy.
 *
 * Merging is by attenuation-blind weight; `transmission.test.ts` states the error for real stacks.
 */
export function condenseSpectrum(spectrum: Spectrum, bins: number): Spectrum {
  const kev: number[] = [];
  const weight: number[] = [];
  let sum = 0;
  let moment = 0;
  let done = 0;
  for (let i = 0; i < spectrum.kev.length; i++) {
    sum += spectrum.weight[i];
    moment += spectrum.weight[i] * spectrum.kev[i];
    if (done + sum >= (kev.length + 1) / bins - 1e-12 || i === spectrum.kev.length - 1) {
      if (sum > 0) {
        kev.push(moment / sum);
        weight.push(sum);
      }
      done += sum;
      sum = 0;
      moment = 0;
    }
  }
  return { kev: Float64Array.from(kev), weight: Float64Array.from(weight) };
}
