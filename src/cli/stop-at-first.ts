import type { InspectedInPortions } from "../inspections/lot/portions/inspect-in-portions.ts";
import type { PairedPicture } from "./calibration-frames.ts";
import type { Inspect } from "./inspect-files.ts";

/** From so many judged parts on a minority can be named (docs/methods/lot.md). */
const fewestParts = 8;
/**
 * Each portion holds half as many pictures again as the one before, and the last takes what is left: in all three times
 * the work of one go at most.
 */
const growth = 1.5;

/**
 * How many pictures to inspect next, those before included: enough for a minority to be nameable, then growing.
 *
 * @param taken pictures inspected so far
 * @param judged parts judged in them
 * @param of all pictures
 */
export function nextPortion(taken: number, judged: number, of: number): number {
  if (taken === 0) return Math.min(1, of);
  const enough = judged === 0 ? fewestParts : Math.ceil((fewestParts * taken) / judged);
  const grown = judged < fewestParts ? enough : Math.ceil(growth * taken);
  const next = Math.max(taken + 1, grown);
  return judged >= fewestParts && next * growth > of ? of : Math.min(of, next);
}

/**
 * Inspects pictures in their order in growing portions and stops at the first that shows a suspect or a mixed lot.
 *
 * @returns the last portion's result and how many pictures it holds
 */
export async function inspectUntilSuspect(
  pictures: readonly PairedPicture[],
  inspect: Inspect,
): Promise<{ inspected: InspectedInPortions; taken: number }> {
  let taken = 0;
  let judged = 0;
  for (;;) {
    taken = nextPortion(taken, judged, pictures.length);
    const inspected = await inspect(pictures.slice(0, taken));
    const { parts, suspects, conclusion } = inspected.findings;
    judged = parts.filter(({ assessable }) => assessable).length;
    const objected = judged >= fewestParts && (suspects.length > 0 || conclusion === "mixed");
    if (objected || taken === pictures.length) return { inspected, taken };
  }
}
