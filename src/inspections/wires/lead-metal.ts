import type { Component } from "../../numeric/components.ts";
import { labelComponents } from "../../numeric/components.ts";
import type { Image, Mask } from "../../numeric/image.ts";
import { createMask } from "../../numeric/image.ts";
import { open } from "../../numeric/morphology.ts";
import { median } from "../../numeric/order.ts";
import type { OrientedRectangle } from "../../numeric/oriented-rectangle.ts";
import type { WireScene } from "./wire-parts.ts";

/** The metal of a lead frame inside a body, by pieces. */
export interface LeadMetal {
  readonly width: number;
  readonly height: number;
  /** Piece of each pixel of the frame, 0 for none. */
  readonly labels: Int32Array;
  readonly components: readonly Component[];
  /** Pieces under the die: the pad, and what is one with it. */
  readonly ofPad: ReadonlySet<number>;
}

/** Wires would join leads to the pad: what is thinner than this disc's width is no metal of the frame. */
export const wireRadiusPx = 2;

/**
 * Parts a body's metal into pieces.
 *
 * @param image in the frame, attenuation; the body lies upright
 */
export function leadMetal(image: Image, { body, die, metalLevel }: WireScene): LeadMetal {
  const { width, height, data } = image;
  const metal = createMask(width, height);
  const [cx, cy] = body.centrePx;
  for (let y = 0; y < height; y++) {
    if (Math.abs(y - cy) > body.widthPx / 2) continue;
    for (let x = 0; x < width; x++) {
      if (Math.abs(x - cx) > body.lengthPx / 2) continue;
      if ((data[y * width + x] as number) > metalLevel) metal.data[y * width + x] = 1;
    }
  }
  const opened = open(metal, wireRadiusPx);
  const first = labelComponents(opened, 4);
  cutNecks(opened, first.labels, piecesUnder(die, { width, height, labels: first.labels }), die);
  const pieces = labelComponents(opened, 4);
  return { width, height, ...pieces, ofPad: piecesUnder(die, { width, height, ...pieces }) };
}

/** Pieces that lie under the die. */
function piecesUnder(
  die: OrientedRectangle,
  { width, height, labels }: Pick<LeadMetal, "width" | "height" | "labels">,
): Set<number> {
  const under = new Set<number>();
  const [dx, dy] = die.centrePx;
  const reach = Math.hypot(die.lengthPx, die.widthPx) / 2;
  for (let y = Math.max(0, Math.floor(dy - reach)); y < Math.min(height, dy + reach); y++) {
    for (let x = Math.max(0, Math.floor(dx - reach)); x < Math.min(width, dx + reach); x++) {
      const label = labels[y * width + x] as number;
      if (label && distanceTo(die, [x, y]) === 0) under.add(label);
    }
  }
  return under;
}

/** What joins pieces over less than this disc's width, and is no longer than three of its radii, is a touch of corners. */
const neckRadiusPx = 4;
const longestNeckPx = 3 * neckRadiusPx;

/** Takes out of a mask the pixels by which pieces beside the die's own hang on it by a touch: blur joins near corners. */
function cutNecks(metal: Mask, labels: Int32Array, ofPad: ReadonlySet<number>, die: OrientedRectangle): void {
  const { width, height } = metal;
  const pad = createMask(width, height);
  for (let i = 0; i < labels.length; i++) pad.data[i] = ofPad.has(labels[i] as number) ? 1 : 0;
  const wide = open(pad, neckRadiusPx);
  const pieces = labelComponents(wide, 4);
  const under = piecesUnder(die, { width, height, labels: pieces.labels });
  if (pieces.components.every((c) => under.has(c.label))) return;
  for (let i = 0; i < wide.data.length; i++) if (wide.data[i]) pad.data[i] = 0;
  const necks = labelComponents(pad, 4);
  const joins = necks.components.map(() => ({ own: false, other: false }));
  const steps = [1, -1, width, -width];
  for (let i = width; i < labels.length - width; i++) {
    const neck = joins[(necks.labels[i] as number) - 1];
    if (!neck) continue;
    for (const step of steps) {
      const beside = pieces.labels[i + step] as number;
      if (beside) neck[under.has(beside) ? "own" : "other"] = true;
    }
  }
  const isTouch = necks.components.map(({ boxPx: [, , w, h] }, k) => {
    const { own, other } = joins[k] as (typeof joins)[number];
    return own && other && Math.hypot(w, h) <= longestNeckPx;
  });
  for (let i = 0; i < labels.length; i++) if (isTouch[(necks.labels[i] as number) - 1]) metal.data[i] = 0;
}

/** Distance from a point to a rectangle, 0 inside. */
export function distanceTo(rect: OrientedRectangle, [x, y]: readonly [number, number]): number {
  const c = Math.cos(rect.angleRad);
  const s = Math.sin(rect.angleRad);
  const dx = x - rect.centrePx[0];
  const dy = y - rect.centrePx[1];
  const along = Math.max(0, Math.abs(c * dx + s * dy) - rect.lengthPx / 2);
  const across = Math.max(0, Math.abs(-s * dx + c * dy) - rect.widthPx / 2);
  return Math.hypot(along, across);
}

/** How deep the end of a lead is taken over which its middle is found, px. */
export function endDepthPx({ body }: WireScene): number {
  return Math.max(4, 0.025 * body.widthPx);
}

/** How far metal stands above mould, attenuation. */
export function metalOverMould({ width, height, data }: Image, { body, metalLevel }: WireScene): number {
  const mould: number[] = [];
  const [cx, cy] = body.centrePx;
  for (let y = 0; y < height; y += 2) {
    if (Math.abs(y - cy) > 0.47 * body.widthPx) continue;
    for (let x = 0; x < width; x += 2) {
      const v = data[y * width + x] as number;
      if (Math.abs(x - cx) < 0.47 * body.lengthPx && v <= metalLevel) mould.push(v);
    }
  }
  return mould.length ? 2 * (metalLevel - median(mould)) : metalLevel;
}
