import type { Image, PointPx } from "../../numeric/image.ts";
import type { OrientedRectangle } from "../../numeric/oriented-rectangle.ts";
import { fusedLeads } from "./fused-leads.ts";
import type { LeadMetal } from "./lead-metal.ts";
import { distanceTo, endDepthPx, leadMetal } from "./lead-metal.ts";
import type { RimRun } from "./rim-runs.ts";
import type { LeadTip, WireScene } from "./wire-parts.ts";

/** Pieces of metal below this share of the body are no leads. */
const leastLeadShare = 3e-4;

/** The metal of a lead frame, told apart. */
export interface LeadFrame {
  readonly metal: LeadMetal;
  /** Inner ends of the leads, clockwise from the body's top left corner. */
  readonly leads: readonly LeadTip[];
  /** Where bars that hold the pad and are no leads meet the body's edge. */
  readonly bars: readonly RimRun[];
}

/**
 * Finds the inner ends of the leads and the tie bars. The pieces of metal in the body that are not the die's own pad end where they
 * come nearest to the die; a lead that is one piece with the pad ends where it runs into it.
 *
 * @param image average of the lot in the frame, attenuation
 */
export function readLeadFrame(image: Image, scene: WireScene): LeadFrame {
  const metal = leadMetal(image, scene);
  const free = freeTips(metal, scene).map((tipPx) => ({
    tipPx,
    metalPx: tipPx,
    aboutPx: tipPx,
    fusedToPad: false,
  }));
  const { leads: fused, bars } = fusedLeads(image, scene, metal);
  const leads = clockwise([...free, ...fused], scene.body).map(({ tipPx, metalPx, fusedToPad }, k) => ({
    lead: k + 1,
    tipPx,
    metalPx,
    fusedToPad,
  }));
  return { metal, leads, bars };
}

function freeTips({ width, labels, components, ofPad }: LeadMetal, scene: WireScene): PointPx[] {
  const { body, die } = scene;
  const nearest = components.map(() => ({ distance: Number.POSITIVE_INFINITY, x: 0, y: 0, count: 0 }));
  const index = new Map(components.map((c, k) => [c.label, k]));
  const distances = new Float32Array(labels.length);
  const see = (visit: (at: number, near: (typeof nearest)[number]) => void) => {
    for (let i = 0; i < labels.length; i++) {
      const label = labels[i] as number;
      if (!label || ofPad.has(label)) continue;
      visit(i, nearest[index.get(label) as number] as (typeof nearest)[number]);
    }
  };
  see((i, near) => {
    distances[i] = distanceTo(die, [i % width, Math.floor(i / width)]);
    near.distance = Math.min(near.distance, distances[i] as number);
  });
  const endPx = endDepthPx(scene);
  see((i, near) => {
    if ((distances[i] as number) > near.distance + endPx) return;
    near.x += i % width;
    near.y += Math.floor(i / width);
    near.count++;
  });
  const least = leastLeadShare * body.lengthPx * body.widthPx;
  return components.flatMap((c, k): PointPx[] => {
    const near = nearest[k] as (typeof nearest)[number];
    return c.areaPx >= least && near.count && near.distance < 0.45 * body.lengthPx
      ? [[near.x / near.count, near.y / near.count]]
      : [];
  });
}

/** Clockwise around the body on screen, from its top left corner. */
export function clockwise<T extends { readonly aboutPx: PointPx }>(
  ends: readonly T[],
  body: OrientedRectangle,
): T[] {
  const [cx, cy] = body.centrePx;
  const start = Math.atan2(-body.widthPx, -body.lengthPx);
  const at = ({ aboutPx: [x, y] }: T) => {
    const angle = Math.atan2(y - cy, x - cx) - start;
    return angle < 0 ? angle + 2 * Math.PI : angle;
  };
  return [...ends].sort((p, q) => at(p) - at(q));
}
