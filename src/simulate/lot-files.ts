import { encodeTiff } from "./encode-tiff.ts";
import type { LotSpec } from "./lot-spec.ts";
import { planLot } from "./plan-lot.ts";
import { renderPicture } from "./render-picture.ts";
import { lotTruth } from "./truth.ts";

/** One file of a simulated lot. */
export interface LotFile {
  readonly name: string;
  readonly bytes: Uint8Array;
}

/**
 * The files of a simulated lot one at a time: each picture as TIFF, then `truth.json`.
 *
 * @param deflate zlib compressor, handed in; without it the pictures are not compressed
 * @param description written into each picture, plain ASCII; none without it
 * @throws LotSpecError when the specification cannot be met
 */
export function* lotFiles(
  spec: LotSpec,
  seed: number,
  deflate?: (bytes: Uint8Array) => Uint8Array,
  description?: string,
): Generator<LotFile> {
  const plan = planLot(spec, seed);
  for (let index = 0; index < plan.pictures.length; index++) {
    const { name, samples, width, height, bits, minIsWhite } = renderPicture(plan, index);
    yield { name, bytes: encodeTiff(samples, width, height, bits, minIsWhite, deflate, description) };
  }
  yield { name: "truth.json", bytes: utf8(`${JSON.stringify(lotTruth(plan), null, 1)}\n`) };
}

/** Bytes of a text that is plain ASCII, as the truth is. */
function utf8(text: string): Uint8Array {
  return Uint8Array.from(text, (character) => character.charCodeAt(0));
}
