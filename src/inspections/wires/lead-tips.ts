import { labelComponents } from "../../numeric/components.ts";
import type { Image, PointPx } from "../../numeric/image.ts";
import { createMask } from "../../numeric/image.ts";
import { open } from "../../numeric/morphology.ts";
import type { OrientedRectangle } from "../../numeric/oriented-rectangle.ts";
import type { LeadTip, WireScene } from "./wire-parts.ts";

/** Pieces of metal below this share of the body are no leads. */
const leastLeadShare = 3e-4;

/**
 * Finds the inner ends of the leads: the pieces of metal in the body that are not the die's own pad, each where it
 * comes nearest to the die. Leads fused to the pad are part of it and have no end of their own.
 *
 * @param image average of the lot in the frame, attenuation
 */
export function findLeadTips(image: Image, { body, die, metalLevel }: WireScene): LeadTip[] {
  const metal = createMask(image.width, image.height);
  const [cx, cy] = body.centrePx;
  for (let y = 0; y < image.height; y++) {
    if (Math.abs(y - cy) > body.widthPx / 2) continue;
    for (let x = 0; x < image.width; x++) {
      if (Math.abs(x - cx) > body.lengthPx / 2) continue;
      if ((image.data[y * image.width + x] as number) > metalLevel) metal.data[y * image.width + x] = 1;
    }
  }
  // Wires would join leads to the pad.
  const { labels, components } = labelComponents(open(metal, 2), 4);
  const under = new Set<number>();
  eachInside(image, die, (i) => {
    if (labels[i]) under.add(labels[i] as number);
  });
  const nearest = components.map(() => ({ distance: Number.POSITIVE_INFINITY, x: 0, y: 0, count: 0 }));
  const index = new Map(components.map((c, k) => [c.label, k]));
  const distances = new Float32Array(labels.length);
  for (let i = 0; i < labels.length; i++) {
    const k = index.get(labels[i] as number);
    if (k === undefined || under.has(labels[i] as number)) continue;
    distances[i] = distanceTo(die, [i % image.width, Math.floor(i / image.width)]);
    const near = nearest[k] as (typeof nearest)[number];
    near.distance = Math.min(near.distance, distances[i] as number);
  }
  const endPx = Math.max(4, 0.025 * body.widthPx);
  for (let i = 0; i < labels.length; i++) {
    const k = index.get(labels[i] as number);
    if (k === undefined || under.has(labels[i] as number)) continue;
    const near = nearest[k] as (typeof nearest)[number];
    if ((distances[i] as number) > near.distance + endPx) continue;
    near.x += i % image.width;
    near.y += Math.floor(i / image.width);
    near.count++;
  }
  const least = leastLeadShare * body.lengthPx * body.widthPx;
  const tips = components.flatMap((c, k): PointPx[] => {
    const near = nearest[k] as (typeof nearest)[number];
    return c.areaPx >= least && near.count && near.distance < 0.45 * body.lengthPx
      ? [[near.x / near.count, near.y / near.count]]
      : [];
  });
  return clockwise(tips, body).map((tipPx, k) => ({ lead: k + 1, tipPx }));
}

/** Clockwise around the body on screen, from its top left corner. */
function clockwise(points: readonly PointPx[], body: OrientedRectangle): PointPx[] {
  const [cx, cy] = body.centrePx;
  const start = Math.atan2(-body.widthPx, -body.lengthPx);
  const at = ([x, y]: PointPx) => {
    const angle = Math.atan2(y - cy, x - cx) - start;
    return angle < 0 ? angle + 2 * Math.PI : angle;
  };
  return [...points].sort((p, q) => at(p) - at(q));
}

function eachInside(image: Image, rect: OrientedRectangle, see: (index: number) => void): void {
  for (let y = 0; y < image.height; y++) {
    for (let x = 0; x < image.width; x++) if (distanceTo(rect, [x, y]) === 0) see(y * image.width + x);
  }
}

/** Distance from a point to a rectangle, 0 inside. */
export function distanceTo(rect: OrientedRectangle, [x, y]: PointPx): number {
  const c = Math.cos(rect.angleRad);
  const s = Math.sin(rect.angleRad);
  const dx = x - rect.centrePx[0];
  const dy = y - rect.centrePx[1];
  const along = Math.max(0, Math.abs(c * dx + s * dy) - rect.lengthPx / 2);
  const across = Math.max(0, Math.abs(-s * dx + c * dy) - rect.widthPx / 2);
  return Math.hypot(along, across);
}
