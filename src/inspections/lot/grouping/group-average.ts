import { evenly } from "../../../numeric/evenly.ts";
import type { Image } from "../../../numeric/image.ts";
import { middleOf } from "../placing/place-lot.ts";

/** Parts whose average stands for a group; more make it no sharper. */
const mostAveraged = 15;

/** The middle picture of a group's parts. */
export function groupAverage(images: readonly Image[], members: readonly number[]): Image {
  return middleOf(evenly(members, mostAveraged).map((i) => images[i] as Image));
}
