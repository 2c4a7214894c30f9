import { linearAttenuationPerMm } from "../physics/attenuation.ts";
import type { MaterialName } from "../physics/material.ts";
import type { Spectrum } from "../physics/spectrum.ts";

/** Thicknesses count in steps of a nanometre, so that equal stacks are seen to be equal. */
const STEPS_PER_MM = 1e6;
const SLOTS = 4096;

/** The beam without energies that carry less than 1e-5 of the signal. */
function withoutFaint({ kev, weight }: Spectrum): Spectrum {
  const kept = [...kev.keys()].filter((i) => weight[i] >= 1e-5);
  const total = kept.reduce((sum, i) => sum + weight[i], 0);
  return {
    kev: Float64Array.from(kept, (i) => kev[i]),
    weight: Float64Array.from(kept, (i) => weight[i] / total),
  };
}

/**
 * Transmission of stacks of matter, remembering stacks already met: most of a picture is a few stacks.
 *
 * @param materials what `thicknessMm` counts, in order
 * @param outside materials that never take the place of mould
 * @returns a function of thicknesses in mm (below zero counts as none) giving 0..1
 */
export function stackTransmission(
  materials: readonly MaterialName[],
  spectrum: Spectrum,
  outside: ReadonlySet<MaterialName>,
): (thicknessMm: Float64Array) => number {
  const { kev, weight } = withoutFaint(spectrum);
  const energies = kev.length;
  const count = materials.length;
  const mould = materials.indexOf("mould");
  const displaces = materials.map((m) => m !== "mould" && !outside.has(m));
  const perStep = materials.map((m) =>
    Float64Array.from(kev, (e) => linearAttenuationPerMm(m, e) / STEPS_PER_MM),
  );
  const paths = new Float64Array(energies);
  const steps = new Int32Array(count);
  const keys = new Int32Array(SLOTS * count);
  const known = new Float64Array(SLOTS).fill(-1);

  function evaluate(): number {
    paths.fill(0);
    let inside = 0;
    for (let m = 0; m < count; m++) if (displaces[m]) inside += steps[m];
    for (let m = 0; m < count; m++) {
      const t = m === mould ? Math.max(0, steps[m] - inside) : steps[m];
      if (t === 0) continue;
      const mu = perStep[m];
      for (let e = 0; e < energies; e++) paths[e] += t * mu[e];
    }
    let sum = 0;
    for (let e = 0; e < energies; e++) sum += weight[e] * Math.exp(-paths[e]);
    return sum;
  }

  return (thicknessMm) => {
    let hash = 0;
    for (let m = 0; m < count; m++) {
      const t = thicknessMm[m];
      steps[m] = t > 0 ? Math.round(t * STEPS_PER_MM) : 0;
      hash = Math.imul(hash ^ steps[m], 0x9e3779b1);
    }
    const slot = (hash >>> 12) & (SLOTS - 1);
    const base = slot * count;
    let same = known[slot] >= 0;
    for (let m = 0; same && m < count; m++) same = keys[base + m] === steps[m];
    if (!same) {
      known[slot] = evaluate();
      keys.set(steps, base);
    }
    return known[slot];
  };
}
