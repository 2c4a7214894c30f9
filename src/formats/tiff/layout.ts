import { damaged, tooLarge, truncated, unsupportedFeature } from "../errors.ts";
import { type Limits, checkMemory, checkPixels } from "../limits.ts";
import type { Directory } from "./directory.ts";
import { compressionNames, tag } from "./tags.ts";

/** How a page's samples lie in the file; every offset checked. */
export interface TiffLayout {
  readonly widthPx: number;
  readonly heightPx: number;
  readonly channels: number;
  readonly bits: number;
  readonly sampleType: "unsigned" | "signed" | "float";
  readonly compression: "none" | "lzw" | "deflate" | "packbits";
  readonly predictor: 1 | 2 | 3;
  readonly reversedBits: boolean;
  /** Channels in planes of their own instead of interleaved. */
  readonly planar: boolean;
  readonly tiled: boolean;
  /** Strip or tile: its size, and how many make a plane. */
  readonly segmentWidthPx: number;
  readonly segmentHeightPx: number;
  readonly across: number;
  readonly down: number;
  readonly offsets: ArrayLike<number>;
  readonly byteCounts: ArrayLike<number>;
}

/** Bytes that one row of a segment takes: rows start on a byte. */
export function segmentRowBytes(layout: TiffLayout): number {
  const { segmentWidthPx, channels, planar, bits } = layout;
  return Math.ceil((segmentWidthPx * (planar ? 1 : channels) * bits) / 8);
}

const compressions: Readonly<Record<number, TiffLayout["compression"]>> = {
  1: "none", 5: "lzw", 8: "deflate", 32946: "deflate", 50013: "deflate", 32773: "packbits",
};

/**
 * The most a byte can expand to: LZW, a string of 3839 in 12 bits; deflate, 258 in 2 bits (zlib's
 * technical notes give 1032); PackBits, 128 in 2 bytes.
 */
const expansion = { none: 1, lzw: 2560, deflate: 1040, packbits: 64 } as const;

/**
 * Read and check one page's description. Nothing the size of the picture is allocated here.
 *
 * @param fileBytes length of the file, to bound offsets and claims
 * @throws UnreadablePictureError
 */
export function readLayout(directory: Directory, fileBytes: number, limits: Limits): TiffLayout {
  const widthPx = directory.number(tag.imageWidth, 0);
  const heightPx = directory.number(tag.imageLength, 0);
  if (!(widthPx >= 1 && heightPx >= 1)) {
    throw damaged("a width and a height of at least 1", `The TIFF page is ${widthPx} x ${heightPx} pixels`);
  }
  checkPixels(widthPx, heightPx, limits);
  const compressionNumber = directory.number(tag.compression, 1);
  const compression = compressions[compressionNumber];
  if (compression === undefined) {
    const name = compressionNames[compressionNumber];
    throw unsupportedFeature(
      `TIFF with ${name === undefined ? "" : `${name} `}compression (${compressionNumber})`,
      "no compression, LZW, deflate or PackBits",
    );
  }
  const sample = readSampleKind(directory, limits);
  const predictor = directory.number(tag.predictor, 1);
  const usedPredictor = compression === "lzw" || compression === "deflate" ? checkedPredictor(predictor, sample) : 1;
  const fillOrder = directory.number(tag.fillOrder, 1);
  if (fillOrder !== 1 && fillOrder !== 2) throw damaged("fill order 1 or 2", `The TIFF page says ${fillOrder}`);

  const layout = {
    widthPx, heightPx, ...sample, compression,
    predictor: usedPredictor, reversedBits: fillOrder === 2,
    planar: sample.channels > 1 && directory.number(tag.planarConfiguration, 1) === 2,
    ...readSegmentSize(directory, widthPx, heightPx, limits),
    offsets: [], byteCounts: [],
  } satisfies TiffLayout;
  const segments = readSegments(directory, layout, fileBytes);
  const complete = { ...layout, ...segments };
  checkClaims(complete, fileBytes, limits);
  return complete;
}

function readSampleKind(directory: Directory, limits: Limits): Pick<TiffLayout, "channels" | "bits" | "sampleType"> {
  const channels = directory.number(tag.samplesPerPixel, 1);
  if (channels < 1) throw damaged("at least one sample a pixel", `The TIFF page has ${channels}`);
  if (channels > limits.maxChannels) throw tooLarge(`at most ${limits.maxChannels} samples a pixel`, `The TIFF page has ${channels}`);
  const allBits = Array.from(directory.numbers(tag.bitsPerSample) ?? [1]);
  const bits = allBits[0];
  if (allBits.slice(0, channels).some((each) => each !== bits)) {
    throw unsupportedFeature(`TIFF with samples of different widths (${allBits.join(", ")} bits)`, "one width for all samples");
  }
  const formats = Array.from(directory.numbers(tag.sampleFormat) ?? [1]);
  if (formats.slice(0, channels).some((each) => each !== formats[0])) {
    throw unsupportedFeature("TIFF with samples of different kinds", "one kind for all samples");
  }
  const sampleType = ({ 1: "unsigned", 2: "signed", 3: "float", 4: "unsigned" } as const)[formats[0] as 1 | 2 | 3 | 4];
  if (sampleType === undefined) throw unsupportedFeature(`TIFF with complex samples (format ${formats[0]})`, "whole or floating-point samples");
  const known =
    sampleType === "unsigned" ? (bits >= 1 && bits <= 16) || bits === 32 : sampleType === "signed" ? [8, 16, 32].includes(bits) : [16, 32, 64].includes(bits);
  if (!known) throw unsupportedFeature(`TIFF with ${bits}-bit ${sampleType} samples`, "1 to 16 or 32-bit unsigned, 8, 16 or 32-bit signed, or 16, 32 or 64-bit float");
  return { channels, bits, sampleType };
}

function checkedPredictor(predictor: number, { bits, sampleType }: Pick<TiffLayout, "bits" | "sampleType">): 1 | 2 | 3 {
  if (predictor === 1) return 1;
  if (predictor === 2 && [8, 16, 32].includes(bits)) return 2;
  if (predictor === 3 && sampleType === "float") return 3;
  throw unsupportedFeature(`TIFF with predictor ${predictor} on ${bits}-bit ${sampleType} samples`, "predictor 1, 2 (8, 16, 32 bits) or 3 (float)");
}

function readSegmentSize(directory: Directory, widthPx: number, heightPx: number, limits: Limits) {
  const tiled = directory.has(tag.tileWidth) || directory.has(tag.tileOffsets);
  const segmentWidthPx = tiled ? directory.number(tag.tileWidth, 0) : widthPx;
  const rows = tiled ? directory.number(tag.tileLength, 0) : directory.number(tag.rowsPerStrip, heightPx);
  if (!(segmentWidthPx >= 1 && rows >= 1)) throw damaged("strips or tiles of at least 1 x 1", `Its strips or tiles are ${segmentWidthPx} x ${rows} pixels`);
  const segmentHeightPx = tiled ? rows : Math.min(rows, heightPx);
  if (tiled) checkPixels(segmentWidthPx, segmentHeightPx, limits);
  return {
    tiled, segmentWidthPx, segmentHeightPx,
    across: Math.ceil(widthPx / segmentWidthPx), down: Math.ceil(heightPx / segmentHeightPx),
  };
}

function readSegments(directory: Directory, layout: TiffLayout, fileBytes: number): Pick<TiffLayout, "offsets" | "byteCounts"> {
  const { tiled, across, down, planar, channels } = layout;
  const word = tiled ? "tile" : "strip";
  const count = across * down * (planar ? channels : 1);
  const offsets = directory.numbers(tiled ? tag.tileOffsets : tag.stripOffsets) ?? directory.numbers(tag.stripOffsets);
  if (offsets === undefined) throw damaged(`${word} offsets`, `The TIFF page has no ${word} offsets`);
  if (offsets.length < count) throw damaged(`${count} ${word}s`, `The TIFF page lists ${offsets.length} ${word} offsets`);
  const given = directory.numbers(tiled ? tag.tileByteCounts : tag.stripByteCounts) ?? directory.numbers(tag.stripByteCounts);
  const byteCounts = new Float64Array(count);
  const rowBytes = segmentRowBytes(layout);
  for (let i = 0; i < count; i++) {
    const rows = segmentRows(layout, i);
    const whole = rows * rowBytes;
    const bytes = given?.[i] ?? 0;
    // Old writers leave the count out or at zero: without compression it follows from the size.
    byteCounts[i] = bytes > 0 ? bytes : layout.compression === "none" ? whole : Math.max(0, count === 1 ? fileBytes - offsets[i] : 0);
    if (layout.compression === "none") {
      if (bytes > 0 && bytes < whole) throw damaged(`${whole} bytes in ${word} ${i + 1} of ${count}`, `It holds ${bytes}`);
      byteCounts[i] = whole;
    }
    if (byteCounts[i] === 0 || offsets[i] === 0) throw damaged(`data in ${word} ${i + 1} of ${count}`, "It is empty");
    const end = offsets[i] + byteCounts[i];
    if (end > fileBytes) throw truncated(fileBytes, end, `${word} ${i + 1} of ${count}`);
  }
  return { offsets, byteCounts };
}

/** Rows that segment `index` really holds: the last strip is shorter, tiles are always whole. */
export function segmentRows(layout: TiffLayout, index: number): number {
  const { tiled, segmentHeightPx, heightPx, across, down } = layout;
  if (tiled) return segmentHeightPx;
  const row0 = Math.floor((index % (across * down)) / across) * segmentHeightPx;
  return Math.min(segmentHeightPx, heightPx - row0);
}

/** Refuse claims that the data cannot fill, and memory beyond the limit. */
function checkClaims(layout: TiffLayout, fileBytes: number, limits: Limits): void {
  const { widthPx, heightPx, channels, bits, compression, byteCounts } = layout;
  const rowBytes = segmentRowBytes(layout);
  for (let i = 0; i < byteCounts.length; i++) {
    const whole = segmentRows(layout, i) * rowBytes;
    if (whole > byteCounts[i] * expansion[compression] + 64) {
      throw damaged(`${whole} bytes in a strip or tile`, `Its ${byteCounts[i]} compressed bytes cannot hold that many`);
    }
  }
  const heldBits = bits <= 8 ? 8 : bits <= 16 && layout.sampleType !== "float" ? 16 : Math.max(32, bits);
  const sampleBytes = (widthPx * heightPx * channels * heldBits) / 8;
  const scratchBytes = 2 * rowBytes * layout.segmentHeightPx;
  const direct = compression === "none" && !layout.tiled && !layout.planar && [8, 16, 32, 64].includes(bits) && !layout.reversedBits;
  checkMemory(fileBytes + sampleBytes + (direct ? 0 : scratchBytes), limits);
}
