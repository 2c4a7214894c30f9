import { applyMap, composeMaps, invertMap } from "../../../align/similarity.ts";
import type { BoxPx, Image, Mask } from "../../../numeric/image.ts";
import { intoFrame } from "../placing/align-lot.ts";
import { toned } from "../placing/match-tone.ts";
import type { PlacedLot } from "../placing/place-lot.ts";
import type { Window } from "./quiet-field.ts";
import { cropped } from "./quiet-field.ts";
import type { Speck } from "./specks.ts";

/**
 * The specks of a part that has some, in the one of its equal poses that shows none, where there is one: a pin-1 dimple
 * is a void where the group has it at another corner. Matter that is there is seen in every pose; a pose in which its
 * place is hidden by metal or edges says nothing.
 *
 * @param specks in the pose in which the part lies
 * @param ground of the window, where specks are seen
 * @param search for the specks of the part's picture in another pose, cropped to the window and in the lot's tone
 */
export function specksInPoses(
  lot: Pick<PlacedLot, "items" | "tones" | "frame">,
  index: number,
  specks: readonly Speck[],
  window: Window,
  ground: Mask,
  search: (image: Image) => readonly Speck[],
): readonly Speck[] {
  const seen = specks.filter(({ over }) => over >= 1);
  if (!seen.length) return specks;
  const { patch, aligned } = lot.items[index] as PlacedLot["items"][number];
  for (const other of aligned.alternatives) {
    if (!other.equal) continue;
    const across = composeMaps(invertMap(other.map), aligned.map);
    if (!seen.every(({ boxPx }) => liesOn(ground, window, middleOf(boxPx), across))) continue;
    const image = cropped(intoFrame(lot.frame, patch, other.map), window);
    const there = search(toned(image, lot.tones[index] as PlacedLot["tones"][number]));
    if (there.every(({ over }) => over < 1)) return there;
  }
  return specks;
}

const middleOf = ([x, y, width, height]: BoxPx) => [x + (width - 1) / 2, y + (height - 1) / 2] as const;

/** Whether a place of the window lies on ground once it is carried into another pose. */
function liesOn(
  ground: Mask,
  { x0, y0 }: Window,
  [x, y]: readonly [number, number],
  across: Parameters<typeof applyMap>[0],
): boolean {
  const [fx, fy] = applyMap(across, [x + x0, y + y0]);
  const [u, v] = [Math.round(fx - x0), Math.round(fy - y0)];
  return u >= 0 && v >= 0 && u < ground.width && v < ground.height && ground.data[v * ground.width + u] === 1;
}
