import type { Picture } from "../src/radiograph/picture.ts";
import type { Radiograph } from "../src/radiograph/radiograph.ts";
import { toRadiograph } from "../src/radiograph/to-radiograph.ts";
import type { SimulatedPicture } from "../src/simulate/render-picture.ts";

/** A simulated picture as if it had been read from a file. */
export function simulatedRadiograph({ name, width, height, samples, bits }: SimulatedPicture): Radiograph {
  const picture: Picture = {
    format: "simulated",
    widthPx: width,
    heightPx: height,
    channels: 1,
    samples,
    bits,
    sampleType: "unsigned",
    photometric: "min-is-black",
    pages: 1,
    page: 0,
    lossy: false,
    notes: [],
  };
  return toRadiograph(picture, { name, sha256: "" });
}
