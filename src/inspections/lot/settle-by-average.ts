import type { Image } from "../../numeric/image.ts";
import type { LotFrame } from "./align-lot.ts";
import { intoFrame, lyingIn, ownPixels } from "./align-lot.ts";
import type { InTone } from "./look-in-tone.ts";
import { comparedAs } from "./look-in-tone.ts";
import type { PlacedItem } from "./lot-item.ts";
import type { Tone } from "./match-tone.ts";
import { toned } from "./match-tone.ts";
import { strangeness } from "./search-pose.ts";
import type { PosedLook } from "./weigh-poses.ts";
import { fewestWeighed, weighPoses } from "./weigh-poses.ts";

/** What is needed to look at a part in another of its poses. */
export interface LookingAt {
  readonly frame: LotFrame;
  readonly by: number;
  readonly look: (item: PlacedItem) => InTone;
}

/** A part as it lies, with how it looks there. */
export interface LyingPart {
  readonly item: PlacedItem;
  readonly look: InTone;
}

/**
 * Settles how parts that stand in open field lie by the average of all, where there are enough of them; the poses that
 * stay possible are marked `equal`.
 *
 * @param leastSpread standard deviation below which no place is taken to be known
 */
export function settleByAverage(
  parts: readonly LyingPart[],
  { frame, by, look }: LookingAt,
  leastSpread: number,
): LyingPart[] {
  if (parts.length < fewestWeighed) return [...parts];
  const posed = parts.map((part) => looksOf(frame, part.item, by, part.look.tone));
  return weighPoses(posed, leastSpread).map(({ chosen, equal }, i) => {
    const part = parts[i] as LyingPart;
    const item = { ...part.item, aligned: lyingIn(part.item.aligned, chosen, equal) };
    return { item, look: chosen > 0 ? look(item) : part.look };
  });
}

/** A part in its pose and in each of the others, at every other place of the compare picture, in one tone. */
function looksOf(frame: LotFrame, { patch, aligned }: PlacedItem, by: number, tone: Tone): PosedLook[] {
  return [aligned, ...aligned.alternatives].map((pose) => {
    const image = comparedAs(
      toned(ownPixels(frame, intoFrame(frame, patch, pose.map, by), by, true), tone),
      frame,
    );
    return {
      map: pose.map,
      values: everyOther(image),
      strangeness: strangeness(pose, frame),
      misfit: 1 - pose.correlation,
      near: pose.equal,
    };
  });
}

/** The values on the dark fields of a chess board. */
function everyOther({ width, height, data }: Image): Float32Array {
  const values = new Float32Array(Math.ceil(width / 2) * height).fill(Number.NaN);
  for (let y = 0, k = 0; y < height; y++) {
    for (let x = y % 2; x < width; x += 2) values[k++] = data[y * width + x] as number;
  }
  return values;
}
