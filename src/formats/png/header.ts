import { damaged, unsupportedFeature } from "../errors.ts";
import type { Chunk } from "./chunks.ts";

/** IHDR, checked. */
export interface PngHeader {
  readonly widthPx: number;
  readonly heightPx: number;
  readonly bits: number;
  readonly colour: "grey" | "rgb" | "palette" | "grey-alpha" | "rgb-alpha";
  readonly channels: number;
  readonly interlaced: boolean;
}

const colours: Readonly<
  Record<number, readonly [PngHeader["colour"], channels: number, bits: readonly number[]]>
> = {
  0: ["grey", 1, [1, 2, 4, 8, 16]],
  2: ["rgb", 3, [8, 16]],
  3: ["palette", 1, [1, 2, 4, 8]],
  4: ["grey-alpha", 2, [8, 16]],
  6: ["rgb-alpha", 4, [8, 16]],
};

/** @throws UnreadablePictureError damaged or unsupported-feature */
export function readHeader(first: Chunk | undefined): PngHeader {
  if (first?.type === "CgBI") throw unsupportedFeature("PNG with the CgBI extension", "a standard PNG file");
  if (first?.type !== "IHDR" || first.data.length !== 13)
    throw damaged(
      "IHDR of 13 bytes as the first PNG chunk",
      `${first?.type} of ${first?.data.length} bytes comes first`,
    );
  const view = new DataView(first.data.buffer, first.data.byteOffset, 13);
  const widthPx = view.getUint32(0);
  const heightPx = view.getUint32(4);
  const [bits, colourType, compression, filter, interlace] = first.data.subarray(8);
  if (widthPx < 1 || heightPx < 1 || widthPx > 0x7fffffff || heightPx > 0x7fffffff)
    throw damaged(
      "a width and a height of 1 to 2^31 - 1",
      `The PNG picture is ${widthPx} x ${heightPx} pixels`,
    );
  const known = colours[colourType];
  if (known === undefined || !known[2].includes(bits))
    throw damaged(
      "a colour type and bit depth of the PNG standard",
      `The PNG has colour type ${colourType} with ${bits} bits`,
    );
  if (compression !== 0 || filter !== 0 || interlace > 1)
    throw unsupportedFeature(
      `PNG with compression ${compression}, filter method ${filter}, interlace ${interlace}`,
      "the methods of the PNG standard",
    );
  return { widthPx, heightPx, bits, colour: known[0], channels: known[1], interlaced: interlace === 1 };
}
