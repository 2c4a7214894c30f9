import { measured as measuredValue, notMeasured } from "../../../units/measured.ts";
import type { MeasuredLot } from "../measuring/measure-lot.ts";
import type { PlacedLot } from "../placing/place-lot.ts";
import type { LotCompared } from "../result.ts";

/** So many dies are needed before what belongs inside one is known. */
const leastDies = 4;

/**
 * Whether a die on a die would be noticed: the inside of every die is held against the dies of its group. Silicon
 * hardly attenuates, so the step of an upper die may stay below what tone and noise leave.
 */
export function stackedDies(lot: PlacedLot, measured: MeasuredLot): LotCompared {
  const characteristic = "stackedDies";
  const steps = measured.parts.flatMap((part) =>
    part.die && part.dieAttenuation !== null ? [Math.abs(part.dieAttenuation)] : [],
  );
  if (steps.length < leastDies)
    return {
      characteristic,
      assessable: false,
      because: "a die is measured in fewer than four parts: what is inside its outline is not known",
      smallestDetectable: notMeasured("1", "too-few"),
    };
  const dieStep = steps.sort((p, q) => p - q)[Math.floor(steps.length / 2)] as number;
  const shows = dieStep > lot.tolerance;
  return {
    characteristic,
    assessable: shows,
    because: shows
      ? `the inside of each die against the dies of its group: an upper die that one part has or lacks shows as a step; a stack that all parts share is not told. A die here adds ${dieStep.toFixed(3)} in attenuation over its pad`
      : `a die here adds ${dieStep.toFixed(3)} in attenuation over its pad, less than tone and noise leave: an upper die would not show`,
    smallestDetectable: measuredValue(lot.tolerance, 0.3 * lot.tolerance, "1"),
  };
}
