import type { Image } from "../numeric/image.ts";
import { linearAttenuationPerMm } from "../physics/attenuation.ts";
import type { MaterialName } from "../physics/material.ts";
import type { Spectrum } from "../physics/spectrum.ts";
import { stackTransmission } from "./stack-transmission.ts";
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
  const count = materials.length;
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
  const through = stackTransmission(materials, spectrum, outside);
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
