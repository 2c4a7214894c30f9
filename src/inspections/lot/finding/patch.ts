import type { Pyramid } from "../../../align/pyramid.ts";
import { buildPyramid } from "../../../align/pyramid.ts";
import type { AffineMap } from "../../../align/similarity.ts";
import { applyMap, invertMap } from "../../../align/similarity.ts";
import type { Image } from "../../../numeric/image.ts";
import type { OrientedRectangle } from "../../../numeric/oriented-rectangle.ts";
import { reduceBy } from "../../../numeric/resample.ts";
import type { Radiograph } from "../../../radiograph/radiograph.ts";
import type { FoundPart } from "./find-parts.ts";

/** One part cut out of its picture, ready to be aligned after the picture itself has been let go. */
export interface Patch {
  readonly part: FoundPart;
  /** Attenuation, leads and a margin included; level 0 of `pyramid`. */
  readonly image: Image;
  readonly pyramid: Pyramid;
  /** Patch pixel -> picture pixel. */
  readonly toPicture: AffineMap;
  /** Picture px per patch px (1 unless the part is very large). */
  readonly reducedBy: number;
  /** Body in patch pixels. */
  readonly body: OrientedRectangle;
  /** Share of the part's pixels whose attenuation is only a bound (saturated or floor-clipped). */
  readonly censoredShare: number;
}

const mostPatchPx = 1_000_000;

/** Cuts a part out, with a margin of 4 % of the body around its reach. */
export function cutPatch(radiograph: Radiograph, part: FoundPart): Patch {
  const { widthPx, heightPx, attenuation } = radiograph;
  const margin = Math.max(6, 0.04 * part.body.lengthPx);
  const [cx, cy] = part.body.centrePx;
  const c = Math.abs(Math.cos(part.body.angleRad));
  const s = Math.abs(Math.sin(part.body.angleRad));
  const [along, across] = part.reachPx;
  const reachX = along * c + across * s + margin;
  const reachY = along * s + across * c + margin;
  const x0 = part.wholeField ? 0 : Math.max(0, Math.floor(cx - reachX));
  const y0 = part.wholeField ? 0 : Math.max(0, Math.floor(cy - reachY));
  const x1 = part.wholeField ? widthPx : Math.min(widthPx, Math.ceil(cx + reachX) + 1);
  const y1 = part.wholeField ? heightPx : Math.min(heightPx, Math.ceil(cy + reachY) + 1);
  const width = x1 - x0;
  const height = y1 - y0;
  const data = new Float32Array(width * height);
  let censored = 0;
  for (let y = 0; y < height; y++) {
    const row = (y + y0) * widthPx + x0;
    data.set(attenuation.subarray(row, row + width), y * width);
    for (let x = 0; x < width; x++) {
      const code = radiograph.censored[row + x];
      // A saturated open field around the part is expected; only dense, floor-clipped or dead pixels take knowledge away.
      if (code === 2 || code === 3) censored++;
    }
  }
  const full: Image = { width, height, data };
  const reducedBy = Math.max(1, Math.ceil(Math.sqrt((width * height) / mostPatchPx)));
  const image = reducedBy > 1 ? reduceBy(full, reducedBy) : full;
  const shift = (reducedBy - 1) / 2;
  const toPicture: AffineMap = { a: reducedBy, b: 0, c: x0 + shift, d: 0, e: reducedBy, f: y0 + shift };
  return {
    part,
    image,
    pyramid: buildPyramid(image),
    toPicture,
    reducedBy,
    body: {
      centrePx: applyMap(invertMap(toPicture), part.body.centrePx),
      angleRad: part.body.angleRad,
      lengthPx: part.body.lengthPx / reducedBy,
      widthPx: part.body.widthPx / reducedBy,
    },
    censoredShare: censored / (width * height),
  };
}
