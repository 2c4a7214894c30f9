import * as zlib from "node:zlib";
import type { Codecs } from "../formats/codecs.ts";

/** Decoders from Node and sharp, for `readPicture`. */
export const codecs: Codecs = {
  inflate: (bytes, maxOutputBytes) =>
    // One chunk a little above the expected size: no second copy of the output is made.
    zlib.inflateSync(bytes, { maxOutputLength: maxOutputBytes, chunkSize: Math.max(64, maxOutputBytes + 1) }),
  decodeJpeg: async (bytes, maxPixels, channels) => {
    // Loaded when a JPEG comes: most runs never need it, and loading takes longer than reading a picture.
    const { default: sharp } = await import("sharp");
    const image = sharp(bytes, {
      limitInputPixels: maxPixels,
      failOn: "warning",
      ignoreIcc: true,
      sequentialRead: true,
    });
    const { data, info } = await image
      .toColourspace(channels === 1 ? "b-w" : "srgb")
      .raw()
      .toBuffer({ resolveWithObject: true });
    return { width: info.width, height: info.height, channels: info.channels, data };
  },
  // Node 20.15 and later.
  ...(typeof zlib.crc32 === "function" ? { crc32: (bytes: Uint8Array) => zlib.crc32(bytes) } : {}),
};
