import { connectedRuns, labelComponents } from "./components.ts";
import { discHalfWidths } from "./disc.ts";
import { RangeOfArgumentError } from "./errors.ts";
import type { Image, Mask } from "./image.ts";
import { createImage, createMask } from "./image.ts";
import { kernelEngine } from "./kernels/engine.ts";
import { maskExtremeByKernel } from "./kernels/extreme-kernel.ts";
import { assertSameShape, assertShape } from "./shape.ts";
import { NO_SUCH_PIXEL, squaredDistanceTo } from "./squared-distance.ts";

function assertRadius(radiusPx: number): void {
  if (!(radiusPx >= 0 && Number.isFinite(radiusPx)))
    throw new RangeOfArgumentError("radiusPx", "0 or more", radiusPx);
}

/** Distance in pixels from each pixel to the nearest unselected one; 0 on unselected pixels, `Infinity` if all are selected. */
export function distanceTransform(mask: Mask): Image {
  const squared = squaredDistanceTo(mask, 0);
  const image = createImage(mask.width, mask.height);
  const into = image.data;
  for (let i = 0; i < into.length; i++) {
    into[i] = squared[i] === NO_SUCH_PIXEL ? Number.POSITIVE_INFINITY : Math.sqrt(squared[i]);
  }
  return image;
}

/** Radius up to which comparing neighbours is quicker than measuring distances. */
const LARGEST_COMPARED_PX = 40;

function discExtreme(mask: Mask, radiusPx: number, lowest: boolean): Mask {
  assertShape(mask);
  assertRadius(radiusPx);
  const engine = radiusPx <= LARGEST_COMPARED_PX ? kernelEngine() : null;
  if (engine === null) return lowest ? erodePlain(mask, radiusPx) : dilatePlain(mask, radiusPx);
  const result = createMask(mask.width, mask.height);
  maskExtremeByKernel(engine, mask, discHalfWidths(radiusPx), lowest, result);
  return result;
}

/** Keeps pixels whose disc `dx^2 + dy^2 <= radius^2` is wholly selected; the outside of the picture does not erode. */
export function erode(mask: Mask, radiusPx: number): Mask {
  return discExtreme(mask, radiusPx, true);
}

/** Selects pixels within `radiusPx` of a selected one. */
export function dilate(mask: Mask, radiusPx: number): Mask {
  return discExtreme(mask, radiusPx, false);
}

/** `erode` by exact distances: for large discs, and the check on the kernel. */
export function erodePlain(mask: Mask, radiusPx: number): Mask {
  return within(mask, 0, radiusPx, 0);
}

/** `dilate` by exact distances: for large discs, and the check on the kernel. */
export function dilatePlain(mask: Mask, radiusPx: number): Mask {
  return within(mask, 1, radiusPx, 1);
}

/** `value` where a pixel of the sought kind lies within the radius, else the other value. */
function within(mask: Mask, sought: 0 | 1, radiusPx: number, value: 0 | 1): Mask {
  assertRadius(radiusPx);
  const squared = squaredDistanceTo(mask, sought);
  const result = createMask(mask.width, mask.height);
  const limit = radiusPx * radiusPx;
  for (let i = 0; i < squared.length; i++) result.data[i] = squared[i] <= limit ? value : 1 - value;
  return result;
}

/** Erosion, then dilation: removes what a disc of this radius does not fit into. */
export function open(mask: Mask, radiusPx: number): Mask {
  return dilate(erode(mask, radiusPx), radiusPx);
}

/**
 * Dilation, then erosion: fills what a disc of this radius does not fit into. As the outside neither dilates nor
 * erodes, matter within a radius of the border may be joined to the border (scikit-image does the same).
 */
export function close(mask: Mask, radiusPx: number): Mask {
  return erode(dilate(mask, radiusPx), radiusPx);
}

/** Selects unselected regions that no 4-connected path of unselected pixels joins to the picture's border. */
export function fillHoles(mask: Mask): Mask {
  const { components, row, start, end, label } = connectedRuns(mask, 4, false);
  const result = createMask(mask.width, mask.height);
  const { data: from } = mask;
  const { data: into } = result;
  for (let i = 0; i < into.length; i++) into[i] = from[i] === 0 ? 0 : 1;
  for (let run = 0; run < row.length; run++) {
    if (components[label[run] - 1].touchesBorder) continue;
    const base = row[run] * mask.width;
    into.fill(1, base + start[run], base + end[run]);
  }
  return result;
}

/** The components of `mask` that hold at least one pixel of `marker` (binary morphological reconstruction). */
export function reconstruct(marker: Mask, mask: Mask, connectivity: 4 | 8 = 8): Mask {
  assertSameShape(marker, mask);
  const { labels, components } = labelComponents(mask, connectivity);
  const kept = new Uint8Array(components.length + 1);
  for (let i = 0; i < labels.length; i++) if (marker.data[i] !== 0) kept[labels[i]] = 1;
  kept[0] = 0;
  const result = createMask(mask.width, mask.height);
  for (let i = 0; i < labels.length; i++) result.data[i] = kept[labels[i]];
  return result;
}
