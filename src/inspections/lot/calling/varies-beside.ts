import type { BoxPx, Image } from "../../../numeric/image.ts";

/** Share of a place's rim at which the group must vary by itself. */
const leastOfRim = 0.15;
/** Standard deviation, in tolerances, from which a pixel is held to vary. */
const leastSpread = 1;

/**
 * Whether a place of one part grows out of what differs from part to part anyway: along a good part of its rim the
 * group's own spread is above what noise and tone leave. So a wider trimming cut of a resistor, where every part has a cut
 * of its own.
 *
 * @param sign of the place
 * @param excess signed excess of the part; 0 where it does not differ
 * @param spread of the group at each pixel, standard deviation
 * @param tolerance attenuation differences that noise and tone leave
 */
export function variesBeside(
  { sign, boxPx: [x0, y0, width, height] }: { readonly sign: 1 | -1; readonly boxPx: BoxPx },
  excess: Image,
  spread: Image,
  tolerance: number,
): boolean {
  const differs = (x: number, y: number) =>
    x >= 0 && y >= 0 && x < excess.width && y < excess.height
      ? sign * (excess.data[y * excess.width + x] as number) > 0
      : false;
  let [rim, varies] = [0, 0];
  for (let y = y0 - 1; y <= y0 + height; y++) {
    for (let x = x0 - 1; x <= x0 + width; x++) {
      if (x < 0 || y < 0 || x >= spread.width || y >= spread.height || differs(x, y)) continue;
      if (!differs(x - 1, y) && !differs(x + 1, y) && !differs(x, y - 1) && !differs(x, y + 1)) continue;
      rim++;
      if ((spread.data[y * spread.width + x] as number) >= leastSpread * tolerance) varies++;
    }
  }
  return rim > 0 && varies >= leastOfRim * rim;
}
