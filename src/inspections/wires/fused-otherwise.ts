import type { Image } from "../../numeric/image.ts";
import { leadMetal } from "./lead-metal.ts";
import type { LeadTip, WireScene } from "./wire-parts.ts";

/** A lead of a part that is joined to the pad where its like are not, or the other way round. */
export interface FusedOtherwise {
  readonly lead: LeadTip;
  /** In this part. */
  readonly fusedToPad: boolean;
}

/** How far about a point on a lead its metal is looked for, px: leads lie a little otherwise in each part. */
const aboutPx = 3;
/** Share of the leads beyond which nothing is said. */
const mostOtherwise = 0.5;

/**
 * Which leads run on into the pad in this picture otherwise than in the average they were found in. Leads whose own
 * metal is not seen here are left out.
 *
 * @param image one part, or another group's average, in the same frame
 * @param scene with the metal level of this picture
 */
export function fusedOtherwise(image: Image, scene: WireScene, leads: readonly LeadTip[]): FusedOtherwise[] {
  const { width, height, labels, ofPad } = leadMetal(image, scene);
  if (!ofPad.size) return [];
  const others = leads.flatMap((lead): FusedOtherwise[] => {
    if (lead.fusedToPad === null) return [];
    const own = new Map<number, number>();
    const [x, y] = lead.metalPx.map(Math.round) as [number, number];
    for (let v = y - aboutPx; v <= y + aboutPx; v++) {
      for (let u = x - aboutPx; u <= x + aboutPx; u++) {
        const label = u >= 0 && v >= 0 && u < width && v < height ? (labels[v * width + u] as number) : 0;
        if (label) own.set(label, (own.get(label) ?? 0) + 1);
      }
    }
    const [most] = [...own].sort((p, q) => q[1] - p[1]);
    if (!most) return [];
    const fusedToPad = ofPad.has(most[0]);
    return fusedToPad === lead.fusedToPad ? [] : [{ lead, fusedToPad }];
  });
  // Where all leads seem one with the pad there is no lead frame, but mould whose own slope passes for metal.
  return others.length > mostOtherwise * leads.length ? [] : others;
}
