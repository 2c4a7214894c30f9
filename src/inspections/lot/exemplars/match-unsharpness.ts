import { gaussianBlur } from "../../../numeric/gaussian-blur.ts";
import type { Image, Mask } from "../../../numeric/image.ts";

/** Blurs that are tried, standard deviations in px. */
const blursPx = [0.6, 0.9, 1.3, 1.9, 2.7];

/** Two pictures in one frame, the sharper of them blurred like the other. */
export interface EquallySharp {
  readonly image: Image;
  readonly onto: Image;
}

/**
 * Blurs whichever of two pictures is the sharper, by as much as leaves least between them: taken at another
 * magnification or with another focal spot, one construction differs along every edge. Pixels without a value in either
 * are taken from the other.
 */
export function matchUnsharpness(image: Image, onto: Image, where: Mask): EquallySharp {
  const own = filledFrom(image, onto);
  const other = filledFrom(onto, image);
  let best: EquallySharp = { image: own, onto: other };
  let least = misfit(own, other, where);
  const tryPair = (pair: EquallySharp) => {
    const off = misfit(pair.image, pair.onto, where);
    if (off >= least) return;
    least = off;
    best = pair;
  };
  for (const blurPx of blursPx) {
    tryPair({ image: gaussianBlur(own, blurPx), onto: other });
    tryPair({ image: own, onto: gaussianBlur(other, blurPx) });
  }
  return best;
}

function filledFrom(image: Image, other: Image): Image {
  const data = image.data.map((v, i) => {
    if (!Number.isNaN(v)) return v;
    const instead = other.data[i] as number;
    return Number.isNaN(instead) ? 0 : instead;
  });
  return { ...image, data };
}

/** Mean squared difference over the selected pixels. */
function misfit(a: Image, b: Image, where: Mask): number {
  let [sum, n] = [0, 0];
  for (let i = 0; i < where.data.length; i++) {
    if (!where.data[i]) continue;
    const off = (a.data[i] as number) - (b.data[i] as number);
    sum += off * off;
    n++;
  }
  return n ? sum / n : 0;
}
