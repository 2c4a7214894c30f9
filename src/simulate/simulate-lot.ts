import type { LotSpec } from "./lot-spec.ts";
import { planLot } from "./plan-lot.ts";
import type { SimulatedPicture } from "./render-picture.ts";
import { renderPicture } from "./render-picture.ts";
import type { LotTruth } from "./truth.ts";
import { lotTruth } from "./truth.ts";

/**
 * Radiographs of a lot of invented parts, with what is true of them.
 *
 * Shares no code with the analysis. Pure: the same specification and seed give the same samples.
 *
 * @throws LotSpecError when the specification cannot be met
 * @see docs/methods/simulation.md
 */
export function simulateLot(spec: LotSpec, seed: number): { pictures: SimulatedPicture[]; truth: LotTruth } {
  const plan = planLot(spec, seed);
  return { pictures: plan.pictures.map((_, i) => renderPicture(plan, i)), truth: lotTruth(plan) };
}
