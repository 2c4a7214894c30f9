import type { LotSource } from "../../src/inspections/lot/finding/gather-parts.ts";
import type { Picture } from "../../src/radiograph/picture.ts";
import { toRadiograph } from "../../src/radiograph/to-radiograph.ts";
import type { LotSpec } from "../../src/simulate/lot-spec.ts";
import type { SimulatedPicture } from "../../src/simulate/render-picture.ts";
import { simulateLot } from "../../src/simulate/simulate-lot.ts";
import type { LotTruth } from "../../src/simulate/truth.ts";

/** A simulated picture as if it had been read from its file. */
export function asPicture({ width, height, samples, bits, minIsWhite }: SimulatedPicture): Picture {
  return {
    format: "tiff",
    widthPx: width,
    heightPx: height,
    channels: 1,
    samples,
    bits,
    sampleType: "unsigned",
    photometric: minIsWhite ? "min-is-white" : "min-is-black",
    pages: 1,
    page: 0,
    lossy: false,
    notes: [],
  };
}

/** A simulated picture as the lot inspection is handed it, no file between them. */
export function simulatedSource(simulated: SimulatedPicture): LotSource {
  const { name } = simulated;
  const picture = asPicture(simulated);
  const sha256 = "0".repeat(64);
  return {
    picture: name,
    load: async (lotPolarity) => toRadiograph(picture, { name, sha256, lotPolarity }),
  };
}

/** The pictures of a simulated lot and what is true of them. */
export function simulatedLot(spec: LotSpec, seed = 1): { sources: LotSource[]; truth: LotTruth } {
  const { pictures, truth } = simulateLot(spec, seed);
  return { sources: pictures.map(simulatedSource), truth };
}
