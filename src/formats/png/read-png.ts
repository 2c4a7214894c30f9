import type { Picture } from "../../radiograph/picture.ts";
import { damaged, unsupportedFeature } from "../errors.ts";
import { checkMemory, checkPixels } from "../limits.ts";
import { checkSinglePage } from "../pages.ts";
import type { ReadOptions } from "../read-options.ts";
import { wholePngSignature } from "../recognise.ts";
import type { Chunk } from "./chunks.ts";
import { readChunks } from "./chunks.ts";
import { crc32 } from "./crc32.ts";
import type { PngHeader } from "./header.ts";
import { readHeader } from "./header.ts";
import { decodeSamples, filteredBytes } from "./samples.ts";

/**
 * Decode a PNG file: every bit depth and colour type, interlaced or not.
 *
 * @returns samples as stored: no gamma, no transparency applied, 1 to 4 bits not stretched
 * @throws UnreadablePictureError
 * @see docs/methods/reading.md
 */
export function readPng(bytes: Uint8Array, options: ReadOptions): Picture {
  const { codecs, limits } = options;
  checkSinglePage(options.page);
  if (!wholePngSignature(bytes)) {
    throw damaged(
      "the eight bytes that begin every PNG",
      "The PNG signature is damaged, as by a transfer in text mode",
    );
  }
  const chunks = readChunks(bytes, codecs.crc32 ?? crc32);
  const header = readHeader(chunks[0]);
  const { widthPx, heightPx, bits, channels } = header;
  checkPixels(widthPx, heightPx, limits);
  const unknown = chunks.find(
    ({ type }) => type[0] < "a" && !["IHDR", "PLTE", "IDAT", "IEND"].includes(type),
  );
  if (unknown !== undefined)
    throw unsupportedFeature(`PNG with the critical chunk ${unknown.type}`, "the chunks of the PNG standard");

  const parts = chunks.filter(({ type }) => type === "IDAT").map(({ data }) => data);
  if (parts.length === 0) throw damaged("image data (IDAT)", "The PNG has none");
  const compressedBytes = parts.reduce((sum, part) => sum + part.length, 0);
  const needBytes = filteredBytes(header);
  const joinedBytes = parts.length > 1 ? compressedBytes : 0;
  const extraBytes =
    header.interlaced || bits < 8 ? widthPx * heightPx * channels * (bits === 16 ? 2 : 1) : 0;
  checkMemory(bytes.length + joinedBytes + needBytes + extraBytes, limits);
  // zlib never expands a byte into more than 1032 (its technical notes); what claims more is not a picture.
  if (needBytes > compressedBytes * 1040 + 64) {
    throw damaged(
      `image data of ${needBytes} bytes`,
      `Its ${compressedBytes} compressed bytes cannot hold that many`,
    );
  }
  const samples = decodeSamples(inflateData(join(parts, compressedBytes), needBytes, options), header);
  return {
    format: "png",
    widthPx,
    heightPx,
    channels,
    samples,
    bits,
    sampleType: "unsigned",
    pages: 1,
    page: 0,
    lossy: false,
    ...describe(header, chunks),
  };
}

function join(parts: readonly Uint8Array[], total: number): Uint8Array {
  if (parts.length === 1) return parts[0];
  const joined = new Uint8Array(total);
  let at = 0;
  for (const part of parts) {
    joined.set(part, at);
    at += part.length;
  }
  return joined;
}

function inflateData(data: Uint8Array, needBytes: number, { codecs }: ReadOptions): Uint8Array {
  let inflated: Uint8Array;
  try {
    inflated = codecs.inflate(data, needBytes);
  } catch (cause) {
    throw damaged("a whole deflate stream in IDAT", "The image data cannot be expanded", cause);
  }
  if (inflated.length < needBytes)
    throw damaged(`${needBytes} bytes of image data`, `IDAT expands to ${inflated.length}`);
  return inflated;
}

/** What the other chunks say: photometric, palette, claimed pitch and notes. */
function describe(header: PngHeader, chunks: readonly Chunk[]) {
  const notes: string[] = [];
  const unsound = chunks.filter(({ sound }) => !sound).map(({ type }) => type);
  if (unsound.length > 0)
    notes.push(`wrong checksum on chunk(s) ${unsound.join(", ")}: ignored, the pixels are not affected`);
  const find = (type: string): Uint8Array | undefined =>
    chunks.find((chunk) => chunk.type === type && chunk.sound)?.data;
  if (header.colour === "grey-alpha" || header.colour === "rgb-alpha")
    notes.push("alpha channel kept as the last channel, not applied");
  if (find("tRNS") !== undefined) notes.push("transparent colour or palette transparency (tRNS) not applied");
  if (find("acTL") !== undefined) notes.push("animated PNG: only the still picture was read");
  const gamma = find("gAMA");
  if (gamma?.length === 4)
    notes.push(`gamma chunk ${uint32(gamma, 0) / 100_000}: not applied, grey may not be linear`);
  const significant = find("sBIT");
  if (significant !== undefined && significant.length > 0 && significant[0] < header.bits)
    notes.push(`${significant[0]} of ${header.bits} bits are significant (sBIT)`);

  const photometric: Picture["photometric"] =
    header.colour === "palette" ? "palette" : header.colour.startsWith("grey") ? "min-is-black" : "colour";
  const pitch = physicalPitch(find("pHYs"));
  const palette = header.colour === "palette" ? readPalette(find("PLTE")) : undefined;
  return {
    photometric,
    notes,
    ...(pitch === undefined ? {} : { taggedPitch: pitch }),
    ...(palette === undefined ? {} : { palette }),
  };
}

function uint32(data: Uint8Array, at: number): number {
  return new DataView(data.buffer, data.byteOffset, data.length).getUint32(at);
}

function physicalPitch(data: Uint8Array | undefined): Picture["taggedPitch"] {
  if (data?.length !== 9 || data[8] !== 1) return undefined;
  const x = uint32(data, 0);
  const y = uint32(data, 4);
  if (x === 0 || y === 0) return undefined;
  return { umPerPxX: 1e6 / x, umPerPxY: 1e6 / y, source: `PNG pHYs: ${x} x ${y} per metre` };
}

/** @throws UnreadablePictureError damaged when a palette picture has no usable palette */
function readPalette(data: Uint8Array | undefined): Uint16Array {
  if (data === undefined || data.length === 0 || data.length % 3 !== 0)
    throw damaged("a palette (PLTE) of whole colours", "The palette picture has none");
  return Uint16Array.from(data, (value) => value * 257);
}
