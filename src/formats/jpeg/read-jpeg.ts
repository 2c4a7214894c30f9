import type { Picture } from "../../radiograph/picture.ts";
import { damaged } from "../errors.ts";
import { checkMemory, checkPixels } from "../limits.ts";
import { checkSinglePage } from "../pages.ts";
import type { ReadOptions } from "../read-options.ts";
import { readJpegHeader } from "./header.ts";

/**
 * Decode a baseline or progressive 8-bit JPEG through the injected codec; always marked lossy.
 *
 * @returns grey or RGB samples; EXIF orientation reported, not applied
 * @throws UnreadablePictureError
 * @see docs/methods/reading.md
 */
export async function readJpeg(bytes: Uint8Array, options: ReadOptions): Promise<Picture> {
  const { codecs, limits } = options;
  checkSinglePage(options.page);
  const header = readJpegHeader(bytes);
  const { widthPx, heightPx, channels, progressive, orientation, taggedPitch } = header;
  checkPixels(widthPx, heightPx, limits);
  // A progressive decoder holds every coefficient in 16 bits beside the samples.
  checkMemory(bytes.length + widthPx * heightPx * channels * (progressive ? 4 : 2), limits);
  const decoded = await codecs.decodeJpeg(bytes, limits.maxPixels, channels).catch((cause: unknown) => {
    throw damaged("a whole JPEG stream", "The JPEG data cannot be decoded", cause);
  });
  if (decoded.width !== widthPx || decoded.height !== heightPx || decoded.channels !== channels) {
    throw damaged(
      `${widthPx} x ${heightPx} pixels of ${channels} channel(s), as the header says`,
      `The decoder gave ${decoded.width} x ${decoded.height} of ${decoded.channels}`,
    );
  }
  const notes = ["lossy coding (JPEG): fine structure and noise are altered"];
  if (orientation !== 1) notes.push(`EXIF orientation ${orientation}: not applied, pixels are as stored`);
  return {
    format: "jpeg",
    widthPx,
    heightPx,
    channels,
    samples: decoded.data,
    bits: 8,
    sampleType: "unsigned",
    photometric: channels === 1 ? "min-is-black" : "colour",
    pages: 1,
    page: 0,
    lossy: true,
    notes,
    ...(taggedPitch === undefined ? {} : { taggedPitch }),
  };
}
