import type { Component } from "../../numeric/components.ts";
import { labelComponents } from "../../numeric/components.ts";
import type { Image } from "../../numeric/image.ts";
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
  const { labels, components } = labelComponents(open(metal, wireRadiusPx), 4);
  const ofPad = new Set<number>();
  const [dx, dy] = die.centrePx;
  const reach = Math.hypot(die.lengthPx, die.widthPx) / 2;
  for (let y = Math.max(0, Math.floor(dy - reach)); y < Math.min(height, dy + reach); y++) {
    for (let x = Math.max(0, Math.floor(dx - reach)); x < Math.min(width, dx + reach); x++) {
      const label = labels[y * width + x] as number;
      if (label && distanceTo(die, [x, y]) === 0) ofPad.add(label);
    }
  }
  return { width, height, labels, components, ofPad };
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
