import type { Image } from "../numeric/image.ts";
import { linearAttenuationPerMm } from "../physics/attenuation.ts";
import type { MaterialName } from "../physics/material.ts";
import type { Spectrum } from "../physics/spectrum.ts";
import type { PlacedFeatures, ThicknessBand } from "./thickness.ts";
import { addThickness, clearBand } from "./thickness.ts";

/** Sub-pixels per pixel each way: the transmission, not the thickness, is averaged over a pixel. */
const SUB = 2;
/** Where edges are compared for strength. */
const TYPICAL_KEV = 45;
/** Picture rows done at a time, so that memory does not grow with the picture. */
const BAND_ROWS = 64;

/**
 * The unscattered picture: the share of the signal that passes the matter, averaged over each pixel.
 *
 * Where the edge of a sheet crosses a sub-pixel, the two sides are transmitted apart and averaged by area.
 * Matter inside the mould takes the mould's place: the mould counts `max(0, mould - everything in it)`.
 *
 * @param placed everything in the beam
 * @param outside materials that never take the place of mould (carrier, dust)
 * @returns 0..1 per pixel
 */
export function primaryBeam(
  width: number,
  height: number,
  placed: readonly PlacedFeatures[],
  spectrum: Spectrum,
  outside: ReadonlySet<MaterialName>,
): Image {
  const materials = [...new Set(placed.flatMap((p) => p.features.map((f) => f.material)))].sort();
  const mould = materials.indexOf("mould");
  const displaces = materials.map((m) => m !== "mould" && !outside.has(m));
  const count = materials.length;
  const { kev, weight } = withoutFaint(spectrum);
  const energies = kev.length;
  const mu = new Float64Array(count * energies);
  for (let m = 0; m < count; m++) {
    for (let e = 0; e < energies; e++) mu[m * energies + e] = linearAttenuationPerMm(materials[m], kev[e]);
  }
  const image = { width, height, data: new Float32Array(width * height) };
  const subWidth = width * SUB;
  const length = subWidth * BAND_ROWS * SUB;
  const maps = materials.map(() => new Float32Array(length));
  const edges = {
    edgeShare: new Float32Array(length),
    edgeMm: new Float32Array(length),
    edgeMaterial: new Uint8Array(length),
    strengthPerMm: materials.map((m) => linearAttenuationPerMm(m, TYPICAL_KEV)),
  };
  const held = new Float64Array(count);
  const side = new Float64Array(count);
  const paths = new Float64Array(energies);
  const through = (thickness: Float64Array): number => passed(thickness, mould, displaces, mu, weight, paths);
  for (let firstRow = 0; firstRow < height; firstRow += BAND_ROWS) {
    const rows = Math.min(BAND_ROWS, height - firstRow) * SUB;
    const band: ThicknessBand = {
      width: subWidth,
      rows,
      firstRow: firstRow * SUB,
      materials,
      maps,
      ...edges,
    };
    clearBand(band);
    for (const item of placed) addThickness(item, band, SUB);
    let share = 1;
    held.fill(0);
    for (let y = 0; y < rows; y++) {
      const out = (firstRow + Math.floor(y / SUB)) * width;
      for (let x = 0; x < subWidth; x++) {
        const at = y * subWidth + x;
        const covered = edges.edgeShare[at];
        if (covered > 0) {
          for (let m = 0; m < count; m++) side[m] = maps[m][at];
          const edge = edges.edgeMaterial[at];
          side[edge] = maps[edge][at] + (1 - covered) * edges.edgeMm[at];
          let mean = covered * through(side);
          side[edge] = maps[edge][at] - covered * edges.edgeMm[at];
          mean += (1 - covered) * through(side);
          image.data[out + Math.floor(x / SUB)] += mean;
          continue;
        }
        let same = true;
        for (let m = 0; m < count; m++) {
          if (maps[m][at] !== held[m]) {
            same = false;
            held[m] = maps[m][at];
          }
        }
        if (!same) share = through(held);
        image.data[out + Math.floor(x / SUB)] += share;
      }
    }
  }
  const norm = 1 / (SUB * SUB);
  for (let i = 0; i < image.data.length; i++) image.data[i] *= norm;
  return image;
}

/** The beam without energies that carry less than 1e-5 of the signal. */
function withoutFaint({ kev, weight }: Spectrum): Spectrum {
  const kept = [...kev.keys()].filter((i) => weight[i] >= 1e-5);
  const total = kept.reduce((sum, i) => sum + weight[i], 0);
  return {
    kev: Float64Array.from(kept, (i) => kev[i]),
    weight: Float64Array.from(kept, (i) => weight[i] / total),
  };
}

function passed(
  thickness: Float64Array,
  mould: number,
  displaces: readonly boolean[],
  mu: Float64Array,
  weight: Float64Array,
  paths: Float64Array,
): number {
  const energies = weight.length;
  paths.fill(0);
  let inside = 0;
  for (let m = 0; m < thickness.length; m++) {
    if (m === mould) continue;
    const mm = Math.max(0, thickness[m]);
    if (mm === 0) continue;
    if (displaces[m]) inside += mm;
    for (let e = 0; e < energies; e++) paths[e] += mm * mu[m * energies + e];
  }
  if (mould >= 0) {
    const mm = thickness[mould] - inside;
    if (mm > 0) for (let e = 0; e < energies; e++) paths[e] += mm * mu[mould * energies + e];
  }
  let sum = 0;
  for (let e = 0; e < energies; e++) sum += weight[e] * Math.exp(-paths[e]);
  return sum;
}
