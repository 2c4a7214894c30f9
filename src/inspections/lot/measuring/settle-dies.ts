import { median } from "../../../numeric/order.ts";
import type { OrientedRectangle } from "../../../numeric/oriented-rectangle.ts";
import { growRectangle } from "../../../numeric/oriented-rectangle.ts";
import type { PlacedItem } from "../lot-item.ts";
import { besideClip, withoutClip } from "./die-clip.ts";
import { edgeBlurPx } from "./die-walls.ts";
import type { PartMeasures } from "./measure-in-frame.ts";
import { levelInside, measureDie } from "./measure-part.ts";
import type { MeasuredRectangle } from "./measured-rectangle.ts";

/** Fewer dies say nothing of what is usual. */
const leastDies = 5;
/** Standard uncertainties of a difference beyond which a die is looked at again, and the least, px. */
const mostSigma = 3;
const leastOffPx = 1.5;
/** How far about the usual outline is looked. */
const searchPx = 3.5;
/** The usual outline is taken where it holds nearly as well. */
const nearlyAsWell = 0.85;

/**
 * Reads dies again that differ from the lot's usual size: where a line at the usual size holds nearly as well, two lines
 * run side by side (fillet, bonds, pad), and the one that the other dies have is the die's. A die that is smaller or
 * larger shows no line there.
 */
export function settleDies(items: readonly PlacedItem[], parts: readonly PartMeasures[]): PartMeasures[] {
  const perFrame = items.map(({ aligned }) => Math.hypot(aligned.map.a, aligned.map.d));
  const sizes = parts.flatMap(({ die }, i) => {
    const by = perFrame[i] as number;
    return die ? [[die.rectangle.lengthPx / by, die.rectangle.widthPx / by] as const] : [];
  });
  if (sizes.length < leastDies) return [...parts];
  const usual = [median(sizes.map(([l]) => l)), median(sizes.map(([, w]) => w))] as const;
  return parts.map((part, i) => {
    const by = perFrame[i] as number;
    const settled =
      part.die && usualOutline(items[i] as PlacedItem, part, part.die, [usual[0] * by, usual[1] * by]);
    return settled ? { ...part, die: settled } : part;
  });
}

function usualOutline(
  { patch: covered, picture, aligned }: PlacedItem,
  part: PartMeasures,
  die: MeasuredRectangle,
  [lengthPx, widthPx]: readonly [number, number],
): MeasuredRectangle | null {
  const { rectangle } = die;
  const off = [rectangle.lengthPx - lengthPx, rectangle.widthPx - widthPx] as const;
  const beyond = [die.uLengthPx, die.uWidthPx].map(
    (u, k) => Math.abs(off[k] as number) > Math.max(leastOffPx, mostSigma * Math.SQRT2 * u),
  );
  if (!beyond.includes(true)) return null;
  const patch = { ...covered, image: withoutClip(covered.image, part.clip, aligned.map) };
  const level = levelInside(
    patch.image,
    growRectangle(upright(rectangle), -0.3 * Math.min(rectangle.lengthPx, rectangle.widthPx)),
  );
  if (level === null) return null;
  const blurPx = edgeBlurPx(patch.image, part.pad);
  let best: MeasuredRectangle | null = null;
  // Either side may be the one that was misread: the other keeps its place.
  for (const along of beyond[0] ? [-0.5, 0.5] : [0]) {
    for (const aside of beyond[1] ? [-0.5, 0.5] : [0]) {
      const start = moved(rectangle, along * off[0], aside * off[1], lengthPx, widthPx);
      const fit = measureDie(patch, start, level, picture.openNoise, blurPx, {
        mostSearchPx: searchPx,
        fading: true,
      });
      if (fit && (!best || fit.agreement > best.agreement)) best = fit;
    }
  }
  const nearer =
    best &&
    Math.abs(best.rectangle.lengthPx - lengthPx) + Math.abs(best.rectangle.widthPx - widthPx) <
      0.5 * (Math.abs(off[0]) + Math.abs(off[1]));
  return best && nearer && best.agreement >= nearlyAsWell * die.agreement
    ? besideClip(best, part.clip, aligned.map)
    : null;
}

/** The square in a rectangle's middle, as far as turns do not matter. */
function upright(rect: OrientedRectangle): OrientedRectangle {
  return {
    ...rect,
    angleRad: 0,
    lengthPx: Math.min(rect.lengthPx, rect.widthPx),
    widthPx: Math.min(rect.lengthPx, rect.widthPx),
  };
}

/** A rectangle of another size, its centre moved along its own axes. */
function moved(
  { centrePx: [x, y], angleRad }: OrientedRectangle,
  along: number,
  aside: number,
  lengthPx: number,
  widthPx: number,
): OrientedRectangle {
  const [c, s] = [Math.cos(angleRad), Math.sin(angleRad)];
  return {
    centrePx: [x + c * along - s * aside, y + s * along + c * aside],
    angleRad,
    lengthPx,
    widthPx,
  };
}
