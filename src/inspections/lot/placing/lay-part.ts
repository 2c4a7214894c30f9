import type { Image } from "../../../numeric/image.ts";
import type { Patch } from "../finding/patch.ts";
import type { AlignedPart, LotFrame } from "./align-lot.ts";
import { intoFrame, ownPixels } from "./align-lot.ts";
import type { InTone } from "./look-in-tone.ts";
import { comparedAs, lookInTone } from "./look-in-tone.ts";
import type { Tone } from "./match-tone.ts";
import { toned } from "./match-tone.ts";
import type { PosedLook } from "./posed-look.ts";
import type { FrameReference } from "./search-pose.ts";
import { alignPatch, strangeness } from "./search-pose.ts";

/** What the parts of a lot are laid onto. */
export interface LayingOnto {
  readonly reference: FrameReference;
  /** Frame px per compare px. */
  readonly by: number;
  /** The reference part at compare size. */
  readonly referenceSmall: Image;
  /** Whether it is wanted how each part looks in every one of its poses. */
  readonly everyPose: boolean;
}

/** A part brought onto the reference, and how it looks there. */
export interface LaidPart {
  readonly aligned: AlignedPart;
  readonly look: InTone;
  /** It and its alternatives, when wanted; else empty. */
  readonly poses: readonly PosedLook[];
}

/** Brings one part onto the reference and into its tone. */
export function layPart({ reference, by, referenceSmall, everyPose }: LayingOnto, patch: Patch): LaidPart {
  const { frame } = reference;
  const aligned = alignPatch(reference, patch);
  const look = lookInTone(frame, { patch, aligned }, by, referenceSmall);
  return { aligned, look, poses: everyPose ? looksOf(frame, patch, aligned, by, look.tone) : [] };
}

/** A part in its pose and in each of the others, at every other place of the compare picture, in one tone. */
function looksOf(frame: LotFrame, patch: Patch, aligned: AlignedPart, by: number, tone: Tone): PosedLook[] {
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
