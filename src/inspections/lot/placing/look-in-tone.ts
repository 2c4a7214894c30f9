import type { Image } from "../../../numeric/image.ts";
import { opacity } from "../../../radiograph/opacity.ts";
import type { PlacedItem } from "../lot-item.ts";
import type { LotFrame } from "./align-lot.ts";
import { intoFrame } from "./align-lot.ts";
import type { Tone } from "./match-tone.ts";
import { matchTone, toned } from "./match-tone.ts";

/** A part at compare size in the reference's tone, and that tone. */
export interface InTone {
  readonly image: Image;
  readonly tone: Tone;
}

/** Brings a part to compare size and into the tone of `referenceSmall`. */
export function lookInTone(
  frame: LotFrame,
  item: Pick<PlacedItem, "patch" | "aligned">,
  by: number,
  referenceSmall: Image,
): InTone {
  const image = intoFrame(frame, item.patch, item.aligned.map, by);
  const tone = matchTone(image, referenceSmall, frame.wholeField ? "offset" : "curve");
  return { image: comparedAs(toned(image, tone), frame), tone };
}

/**
 * What is compared: attenuation, or opacity 1 - exp(-a) where pictures have no open beam of their own. Those are
 * display pictures: their errors are even in grey, not in its logarithm, which would count a hair more solder in the
 * darkest greys above a missing joint.
 */
export function comparedAs(image: Image, { wholeField }: LotFrame): Image {
  if (!wholeField) return image;
  return { ...image, data: image.data.map(opacity) };
}
