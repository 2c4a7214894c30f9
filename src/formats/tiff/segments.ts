import type { Samples } from "../../radiograph/picture.ts";
import { hostIsLittleEndian, swapBytes } from "../byte-order.ts";
import type { Codecs } from "../codecs.ts";
import { damaged, UnreadablePictureError } from "../errors.ts";
import { halvesToFloats, reverseBits, unpackSamples } from "../packed-samples.ts";
import { isDirect, isHalfFloat, isWholeBytes } from "./claims.ts";
import type { TiffLayout } from "./layout.ts";
import { decodeLzw } from "./lzw.ts";
import { decodePackBits } from "./pack-bits.ts";
import { undoDifferencing, undoFloatDifferencing } from "./predictor.ts";
import { segmentRowBytes, segmentRows } from "./segment-table.ts";

/**
 * Decode every strip or tile of a page into one interleaved array.
 *
 * @throws UnreadablePictureError damaged when a segment gives fewer bytes than its size needs
 */
export function decodeSamples(
  bytes: Uint8Array,
  layout: TiffLayout,
  littleEndian: boolean,
  codecs: Codecs,
): Samples {
  const { widthPx, channels, bits, segmentHeightPx } = layout;
  const rowBytes = segmentRowBytes(layout);
  const segments = layout.byteCounts.length;
  const direct = isDirect(layout);
  if (direct && segments === 1 && layout.compression === "deflate") {
    const inflated = inflateSegment(bytes, layout, 0, rowBytes * layout.heightPx, codecs);
    if (inflated.byteOffset % (bits / 8) === 0) {
      finishSegment(inflated, layout, littleEndian);
      return viewAs(inflated, layout);
    }
  }
  const out = allocate(layout);
  const outBytes = new Uint8Array(out.buffer);
  const scratch = direct ? undefined : new Uint8Array(segmentHeightPx * rowBytes);
  for (let index = 0; index < segments; index++) {
    const rows = segmentRows(layout, index);
    const size = rows * rowBytes;
    const row0 = Math.floor((index % (layout.across * layout.down)) / layout.across) * segmentHeightPx;
    const target = scratch?.subarray(0, size) ?? outBytes.subarray(row0 * rowBytes, row0 * rowBytes + size);
    decodeSegment(bytes, layout, index, target, codecs);
    if (scratch === undefined) continue;
    finishSegment(target, layout, littleEndian);
    place(segmentValues(target, rows, layout), layout, index, out, widthPx * channels);
  }
  // Strips that lie whole and in order in the result are finished together: rows depend on no other row.
  if (direct) finishSegment(outBytes, layout, littleEndian);
  return out;
}

function allocate(layout: TiffLayout): Samples {
  const { widthPx, heightPx, channels, bits, sampleType } = layout;
  const count = widthPx * heightPx * channels;
  if (sampleType === "float") return bits === 64 ? new Float64Array(count) : new Float32Array(count);
  if (sampleType === "signed")
    return bits === 8 ? new Int8Array(count) : bits === 16 ? new Int16Array(count) : new Int32Array(count);
  return bits <= 8 ? new Uint8Array(count) : bits <= 16 ? new Uint16Array(count) : new Uint32Array(count);
}

/** The bytes of whole samples as an array of their own kind; half floats as their bits. */
function viewAs(bytes: Uint8Array, { bits, sampleType }: TiffLayout): Samples {
  const { buffer, byteOffset } = bytes;
  const count = bytes.length / (bits / 8);
  if (bits === 64) return new Float64Array(buffer, byteOffset, count);
  if (bits === 32) {
    if (sampleType === "float") return new Float32Array(buffer, byteOffset, count);
    return sampleType === "signed"
      ? new Int32Array(buffer, byteOffset, count)
      : new Uint32Array(buffer, byteOffset, count);
  }
  if (bits === 16)
    return sampleType === "signed"
      ? new Int16Array(buffer, byteOffset, count)
      : new Uint16Array(buffer, byteOffset, count);
  return sampleType === "signed"
    ? new Int8Array(buffer, byteOffset, count)
    : new Uint8Array(buffer, byteOffset, count);
}

function rawSegment(bytes: Uint8Array, layout: TiffLayout, index: number): Uint8Array {
  const start = layout.offsets[index];
  const raw = bytes.subarray(start, start + layout.byteCounts[index]);
  return layout.reversedBits ? reverseBits(raw) : raw;
}

function inflateSegment(
  bytes: Uint8Array,
  layout: TiffLayout,
  index: number,
  size: number,
  codecs: Codecs,
): Uint8Array {
  // The last strip may be padded to the height of the others: allow a whole segment and no more.
  const most = Math.max(size, layout.segmentHeightPx * segmentRowBytes(layout));
  try {
    const inflated = codecs.inflate(rawSegment(bytes, layout, index), most);
    if (inflated.length >= size) return inflated.subarray(0, size);
    throw tooShort(layout, index, inflated.length, size);
  } catch (cause) {
    if (cause instanceof UnreadablePictureError) throw cause;
    throw damaged(`a whole deflate stream in ${segmentName(layout, index)}`, "It cannot be expanded", cause);
  }
}

function decodeSegment(
  bytes: Uint8Array,
  layout: TiffLayout,
  index: number,
  target: Uint8Array,
  codecs: Codecs,
): void {
  if (layout.compression === "deflate") {
    target.set(inflateSegment(bytes, layout, index, target.length, codecs));
    return;
  }
  const raw = rawSegment(bytes, layout, index);
  if (layout.compression === "none") {
    target.set(raw);
    return;
  }
  const written = layout.compression === "lzw" ? decodeLzw(raw, target) : decodePackBits(raw, target);
  if (written < target.length) throw tooShort(layout, index, written, target.length);
}

function segmentName(layout: TiffLayout, index: number): string {
  return `${layout.tiled ? "tile" : "strip"} ${index + 1} of ${layout.byteCounts.length}`;
}

function tooShort(layout: TiffLayout, index: number, got: number, want: number): UnreadablePictureError {
  return damaged(`${want} bytes from ${segmentName(layout, index)}`, `It expands to ${got}`);
}

/** Byte order and predictor, in place. */
function finishSegment(target: Uint8Array, layout: TiffLayout, littleEndian: boolean): void {
  const { bits, predictor, planar, channels, segmentWidthPx } = layout;
  if (!isWholeBytes(layout)) return;
  const stride = planar ? 1 : channels;
  if (predictor === 3) {
    undoFloatDifferencing(target, segmentWidthPx * stride, stride, bits / 8);
    return;
  }
  if (bits > 8 && littleEndian !== hostIsLittleEndian) swapBytes(target, bits / 8);
  if (predictor === 2) {
    const values = viewAs(target, { ...layout, sampleType: "unsigned" });
    undoDifferencing(values as Uint8Array | Uint16Array | Uint32Array, segmentWidthPx * stride, stride);
  }
}

function segmentValues(target: Uint8Array, rows: number, layout: TiffLayout): Samples {
  const { bits, planar, channels, segmentWidthPx } = layout;
  if (!isWholeBytes(layout))
    return unpackSamples(target, rows, segmentWidthPx * (planar ? 1 : channels), bits);
  const values = viewAs(target, layout);
  return isHalfFloat(layout) ? halvesToFloats(values as Uint16Array) : values;
}

/** Copy a decoded segment to where it lies in the picture, leaving out what a tile has beyond the edge. */
function place(values: Samples, layout: TiffLayout, index: number, out: Samples, outRow: number): void {
  const { widthPx, heightPx, channels, planar, segmentWidthPx, segmentHeightPx, across, down } = layout;
  const plane = planar ? Math.floor(index / (across * down)) : 0;
  const within = index % (across * down);
  const x0 = (within % across) * segmentWidthPx;
  const y0 = Math.floor(within / across) * segmentHeightPx;
  const columns = Math.min(segmentWidthPx, widthPx - x0);
  const rows = Math.min(segmentHeightPx, heightPx - y0);
  for (let y = 0; y < rows; y++) {
    if (planar) {
      let to = (y0 + y) * outRow + x0 * channels + plane;
      for (let at = y * segmentWidthPx, end = at + columns; at < end; at++, to += channels)
        out[to] = values[at];
    } else {
      const from = y * segmentWidthPx * channels;
      out.set(values.subarray(from, from + columns * channels), (y0 + y) * outRow + x0 * channels);
    }
  }
}
