import { damaged } from "../errors.ts";
import type { Limits } from "../limits.ts";
import { checkMemory } from "../limits.ts";
import type { TiffLayout } from "./layout.ts";
import { segmentRowBytes, segmentRows } from "./segment-table.ts";

/**
 * The most a byte can expand to: LZW, a string of 3839 in 12 bits; deflate, 258 in 2 bits (zlib's
 * technical notes give 1032); PackBits, 128 in 2 bytes.
 */
const expansion = { none: 1, lzw: 2560, deflate: 1040, packbits: 64 } as const;

/** True when decoded strips are, in order, the samples wanted, but for byte order and predictor. */
export function isDirect(layout: TiffLayout): boolean {
  return !layout.tiled && !layout.planar && isWholeBytes(layout) && !isHalfFloat(layout);
}

/** Samples that need no unpacking from bits. */
export function isWholeBytes({ bits }: TiffLayout): boolean {
  return bits === 8 || bits === 16 || bits === 32 || bits === 64;
}

export function isHalfFloat({ bits, sampleType }: TiffLayout): boolean {
  return bits === 16 && sampleType === "float";
}

/**
 * Refuse sizes that the data cannot fill, data read many times over, and memory beyond the limit.
 *
 * @throws UnreadablePictureError damaged or too-large
 */
export function checkClaims(layout: TiffLayout, fileBytes: number, limits: Limits): void {
  const { compression, byteCounts } = layout;
  const rowBytes = segmentRowBytes(layout);
  let total = 0;
  let longest = 0;
  for (let i = 0; i < byteCounts.length; i++) {
    const whole = segmentRows(layout, i) * rowBytes;
    total += byteCounts[i];
    longest = Math.max(longest, byteCounts[i]);
    if (whole > byteCounts[i] * expansion[compression] + 64) {
      throw damaged(
        `${whole} bytes in a strip or tile`,
        `Its ${byteCounts[i]} compressed bytes cannot hold that many`,
      );
    }
  }
  // Equal tiles may share their data; all strips on one long stretch would only cost time.
  if (compression !== "none" && total > Math.max(4 * fileBytes, 256 * 1024 * 1024)) {
    throw damaged("strips or tiles with data of their own", `They claim ${total} of ${fileBytes} bytes`);
  }
  checkMemory(fileBytes + sampleBytes(layout) + workingBytes(layout, longest), limits);
}

function heldBytes({ bits, sampleType }: TiffLayout): number {
  if (sampleType === "float") return bits === 64 ? 8 : 4;
  return bits <= 8 ? 1 : bits <= 16 ? 2 : 4;
}

function sampleBytes(layout: TiffLayout): number {
  return layout.widthPx * layout.heightPx * layout.channels * heldBytes(layout);
}

/** Copies beside the file and the result: one segment's data, expanded, and as values. */
function workingBytes(layout: TiffLayout, longest: number): number {
  const segmentBytes = segmentRowBytes(layout) * layout.segmentHeightPx;
  const segmentSamples = (segmentBytes * 8) / layout.bits;
  const one = layout.byteCounts.length === 1 && isDirect(layout);
  return (
    (layout.reversedBits ? longest : 0) +
    (layout.compression === "deflate" && !one ? segmentBytes : 0) +
    (isDirect(layout) ? 0 : segmentBytes) +
    (isWholeBytes(layout) && !isHalfFloat(layout) ? 0 : segmentSamples * heldBytes(layout))
  );
}
