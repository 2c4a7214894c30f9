import type { Radiograph } from "../src/radiograph/radiograph.ts";
import { toRadiograph } from "../src/radiograph/to-radiograph.ts";
import type { SimulatedPicture } from "../src/simulate/render-picture.ts";
import { asPicture } from "../test/support/simulated-sources.ts";

/** The radiograph of a simulated picture, no file between them. */
export function simulatedRadiograph(simulated: SimulatedPicture): Radiograph {
  return toRadiograph(asPicture(simulated), { name: simulated.name, sha256: "" });
}
