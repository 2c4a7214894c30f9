import { linearAttenuationPerMm } from "./attenuation.ts";
import { EnergyRangeError } from "./errors.ts";
import type { MaterialName } from "./material.ts";

/** A beam as the detector weighs it: `weight[i]` is the share of signal from photons of `kev[i]`; they sum to 1. */
export interface Spectrum {
  readonly kev: Float64Array;
  readonly weight: Float64Array;
}

/** Thicknesses of filters in the beam, mm by material. */
export type FilterMm = Readonly<Partial<Record<MaterialName, number>>>;

/** How a beam is made and seen. */
export interface BeamOptions {
  readonly kv: number;
  readonly filterMm: FilterMm;
  /** Thickness of the caesium iodide screen; `null`: every photon leaves all its energy. */
  readonly scintillatorMm?: number | null;
  /** Adds the K lines of tungsten (a rough model). */
  readonly lines?: boolean;
  readonly stepKev?: number;
  readonly lowestKev?: number;
}

/** K lines of tungsten: keV (xraylib) and share of the K yield (from memory, rounded). */
const TUNGSTEN_K_LINES = [
  [59.318, 0.5],
  [57.981, 0.29],
  [67.244, 0.21],
] as const;
const TUNGSTEN_K_EDGE_KEV = 69.525;

/**
 * Tungsten-anode spectrum by Kramers' law, photons per keV ~ (kV - E) / E, behind filters, weighted by
 * the energy an integrating caesium iodide screen keeps (E times its absorbed share).
 *
 * Leaves out anode self-absorption and, in the screen, escaping fluorescence.
 * Source of the law: Kramers 1923 (from memory); checked against narrow-beam half-value layers in the tests.
 *
 * @throws EnergyRangeError for a tube voltage outside 10-160 kV
 */
export function beamSpectrum(options: BeamOptions): Spectrum {
  const { kv, filterMm, scintillatorMm = 0.4, lines = false, stepKev = 1, lowestKev = 5 } = options;
  if (!(kv > 10 && kv <= 160)) throw new EnergyRangeError(kv, 10, 160);
  const count = Math.max(1, Math.round((kv - lowestKev) / stepKev));
  const step = (kv - lowestKev) / count;
  const kev = new Float64Array(count);
  const photons = new Float64Array(count);
  for (let i = 0; i < count; i++) {
    kev[i] = lowestKev + (i + 0.5) * step;
    photons[i] = (kv - kev[i]) / kev[i];
  }
  if (lines && kv > TUNGSTEN_K_EDGE_KEV) {
    // K-line photons against continuum photons: 0.1 at twice the edge, exponent 1.63 (from memory).
    const continuum = photons.reduce((sum, n) => sum + n, 0);
    const yieldShare = 0.1 * (kv / TUNGSTEN_K_EDGE_KEV - 1) ** 1.63;
    for (const [lineKev, share] of TUNGSTEN_K_LINES) {
      const bin = Math.min(count - 1, Math.floor((lineKev - lowestKev) / step));
      photons[bin] += continuum * yieldShare * share;
    }
  }
  const weight = new Float64Array(count);
  let total = 0;
  for (let i = 0; i < count; i++) {
    const e = kev[i];
    let path = 0;
    for (const [name, mm] of Object.entries(filterMm))
      path += mm * linearAttenuationPerMm(name as MaterialName, e);
    const absorbed =
      scintillatorMm === null
        ? 1
        : 1 - Math.exp(-scintillatorMm * linearAttenuationPerMm("caesiumIodide", e));
    weight[i] = photons[i] * Math.exp(-path) * e * absorbed;
    total += weight[i];
  }
  for (let i = 0; i < count; i++) weight[i] /= total;
  return { kev, weight };
}
