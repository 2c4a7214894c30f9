import { buildPyramid, mapBetweenReduced } from "../../../align/pyramid.ts";
import type { AffineMap } from "../../../align/similarity.ts";
import { composeMaps } from "../../../align/similarity.ts";
import type { Image } from "../../../numeric/image.ts";
import { warpAffine } from "../../../numeric/warp.ts";
import type { Patch } from "../finding/patch.ts";

/**
 * The same part drawn `factor` times larger: a picture of another magnification brought to about the lot's size, on
 * which the search for its pose is set. Means over areas where it shrinks, linear between pixels where it grows.
 */
export function rescaledPatch(patch: Patch, factor: number): Patch {
  const { image, pyramid, body } = patch;
  const depth = Math.min(pyramid.levels.length - 1, Math.max(0, Math.floor(Math.log2(1 / factor))));
  const from = pyramid.levels[depth] as Image;
  const by = 2 ** depth;
  const back: AffineMap = { a: 1 / factor, b: 0, c: 0, d: 0, e: 1 / factor, f: 0 };
  // From the first whole pixel's middle to the last's: nothing beyond them is asked for.
  const first = (by - 1) / 2;
  const drawnSide = (px: number) => Math.floor((Math.floor(px / by) - 1) * by * factor) + 1;
  const width = drawnSide(image.width);
  const height = drawnSide(image.height);
  const shifted: AffineMap = { ...back, c: first, f: first };
  const drawn = warpAffine(from, mapBetweenReduced(shifted, 1, by), width, height);
  return {
    ...patch,
    image: drawn,
    pyramid: buildPyramid(drawn),
    toPicture: composeMaps(patch.toPicture, shifted),
    reducedBy: patch.reducedBy / factor,
    body: {
      ...body,
      centrePx: [(body.centrePx[0] - first) * factor, (body.centrePx[1] - first) * factor],
      lengthPx: body.lengthPx * factor,
      widthPx: body.widthPx * factor,
    },
  };
}
