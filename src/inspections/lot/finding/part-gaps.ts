import type { Image } from "../../../numeric/image.ts";
import { quantile } from "../../../numeric/order.ts";
import type { PartedCores } from "./part-cores.ts";
import { flood, ownedParts, partTouching, standingPieces, withoutNoiseHoles } from "./part-cores.ts";
import { cutAtLevel } from "./part-levels.ts";

/** Where gaps are looked for: shares of the bodies' own attenuation, which narrow gaps come near. */
const shares = [0.7, 0.95] as const;
/** Of what stands at the bodies' level this much must still stand where gaps show. */
const leastHeld = 0.85;

/**
 * Takes apart parts that touch at the level at which bodies end. Where their gaps are narrow they show only near the
 * bodies' own attenuation; what lies between the levels then goes to the part nearest to it.
 *
 * @param level at which the bodies end
 * @returns the parts at `level`; null when they do not touch
 */
export function partAtGaps(reduced: Image, level: number): PartedCores | null {
  const whole = cutAtLevel(reduced, level);
  const standing = standingPieces(whole);
  const atOnce = partTouching(whole, standing);
  if (atOnce) return atOnce;
  const values = valuesAbove(reduced, level);
  if (!values.length) return null;
  // Most of a body is mould or ceramic, or denser; its edges are little of it.
  const body = quantile(values, 0.2);
  for (const at of shares.map((share) => share * body)) {
    if (at <= level) continue;
    const parted = partTouching(cutAtLevel(reduced, at), standing);
    const held = parted ? parted.parts.reduce((sum, p) => sum + p.areaPx, 0) : 0;
    if (!parted || held < leastHeld * values.length) continue;
    const owned = flood(withoutNoiseHoles(whole.mask), parted.cut.labels);
    return { ...ownedParts(whole, owned, parted.parts.length), radiusPx: parted.radiusPx };
  }
  return null;
}

function valuesAbove({ data }: Image, level: number): Float32Array {
  const values = new Float32Array(data.length);
  let count = 0;
  for (let i = 0; i < data.length; i++) if ((data[i] as number) > level) values[count++] = data[i] as number;
  return values.subarray(0, count);
}
