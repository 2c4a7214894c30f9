import { hostIsLittleEndian, swapBytes } from "../byte-order.ts";
import { unpackSamples } from "../packed-samples.ts";
import type { PngHeader } from "./header.ts";
import { unfilter } from "./unfilter.ts";

type PngSamples = Uint8Array | Uint16Array;

/** One Adam7 pass: its first pixel and its steps (PNG specification, section 8). */
interface Pass {
  readonly x0: number;
  readonly y0: number;
  readonly stepX: number;
  readonly stepY: number;
}

const adam7: readonly Pass[] = [
  { x0: 0, y0: 0, stepX: 8, stepY: 8 },
  { x0: 4, y0: 0, stepX: 8, stepY: 8 },
  { x0: 0, y0: 4, stepX: 4, stepY: 8 },
  { x0: 2, y0: 0, stepX: 4, stepY: 4 },
  { x0: 0, y0: 2, stepX: 2, stepY: 4 },
  { x0: 1, y0: 0, stepX: 2, stepY: 2 },
  { x0: 0, y0: 1, stepX: 1, stepY: 2 },
];

function passSize({ widthPx, heightPx, bits, channels }: PngHeader, pass: Pass) {
  const columns = Math.max(0, Math.ceil((widthPx - pass.x0) / pass.stepX));
  const rows = columns === 0 ? 0 : Math.max(0, Math.ceil((heightPx - pass.y0) / pass.stepY));
  return { columns, rows, rowBytes: Math.ceil((columns * channels * bits) / 8) };
}

const whole: Pass = { x0: 0, y0: 0, stepX: 1, stepY: 1 };

/** Bytes that the expanded image data must have. */
export function filteredBytes(header: PngHeader): number {
  const passes = header.interlaced ? adam7 : [whole];
  return passes.reduce((sum, pass) => {
    const { rows, rowBytes } = passSize(header, pass);
    return sum + rows * (rowBytes + 1);
  }, 0);
}

/**
 * Samples from expanded image data, which is used up: its memory becomes the result where it can.
 *
 * @param raw `filteredBytes(header)` long
 * @returns row-major, `widthPx * heightPx * channels` values as stored
 * @throws UnreadablePictureError damaged on an unknown filter
 */
export function decodeSamples(raw: Uint8Array, header: PngHeader): PngSamples {
  if (!header.interlaced) return decodePass(raw, header, whole);
  const { widthPx, heightPx, channels, bits } = header;
  const out =
    bits === 16
      ? new Uint16Array(widthPx * heightPx * channels)
      : new Uint8Array(widthPx * heightPx * channels);
  let at = 0;
  for (const pass of adam7) {
    const { columns, rows, rowBytes } = passSize(header, pass);
    if (rows === 0) continue;
    const values = decodePass(raw.subarray(at, at + rows * (rowBytes + 1)), header, pass);
    at += rows * (rowBytes + 1);
    for (let y = 0, from = 0; y < rows; y++) {
      for (let x = 0; x < columns; x++) {
        const to = ((pass.y0 + y * pass.stepY) * widthPx + pass.x0 + x * pass.stepX) * channels;
        for (let c = 0; c < channels; c++) out[to + c] = values[from++];
      }
    }
  }
  return out;
}

function decodePass(raw: Uint8Array, header: PngHeader, pass: Pass): PngSamples {
  const { bits, channels } = header;
  const { columns, rows, rowBytes } = passSize(header, pass);
  const bytes =
    bits === 16 && raw.byteOffset % 2 !== 0
      ? new Uint8Array(rows * rowBytes)
      : raw.subarray(0, rows * rowBytes);
  unfilter(raw, bytes, rows, rowBytes, Math.max(1, (bits * channels) >> 3));
  if (bits < 8) return unpackSamples(bytes, rows, columns * channels, bits);
  if (bits === 8) return bytes;
  if (hostIsLittleEndian) swapBytes(bytes, 2);
  return new Uint16Array(bytes.buffer, bytes.byteOffset, rows * columns * channels);
}
