import { median } from "../../../numeric/order.ts";
import type { Tone } from "../placing/match-tone.ts";
import { applyTone, unapplyTone } from "../placing/match-tone.ts";
import type { BodyLevels } from "./inside-body.ts";

/** Fewer parts say nothing of what is usual. */
const leastParts = 5;
/** Mould off the usual one by this share of what metal stands above it is no mould of the lot's. */
const mostOff = 0.5;

/**
 * The levels of mould and metal of each part, where its own mould is far from the lot's once both are in one tone: of a
 * body with three levels (a chip's rim, its ceramic, its electrodes) the threshold takes now these, now those two.
 *
 * @param tones by part, to the lot's reference
 * @returns by part; the others' middle in its own tone where its own are far off
 */
export function settleLevels(levels: readonly BodyLevels[], tones: readonly Tone[]): BodyLevels[] {
  if (levels.length < leastParts) return [...levels];
  const inTone = levels.map(({ mould, metal }, i) => {
    const tone = tones[i] as Tone;
    return { mould: applyTone(tone, mould), metal: applyTone(tone, metal) };
  });
  const mould = median(inTone.map((l) => l.mould));
  const metal = median(inTone.map((l) => l.metal));
  return levels.map((own, i) => {
    if (Math.abs((inTone[i] as BodyLevels).mould - mould) <= mostOff * (metal - mould)) return own;
    const tone = tones[i] as Tone;
    const usual = { mould: unapplyTone(tone, mould), metal: unapplyTone(tone, metal) };
    return { ...usual, between: (usual.mould + usual.metal) / 2 };
  });
}
