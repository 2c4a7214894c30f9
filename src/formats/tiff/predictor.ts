import { hostIsLittleEndian } from "../byte-order.ts";

type WholeSamples = Uint8Array | Uint16Array | Uint32Array | Int8Array | Int16Array | Int32Array;

/**
 * Undo horizontal differencing (predictor 2) in place, in the arithmetic of the array's own width.
 *
 * @param samples rows of `rowSamples` values, `stride` channels interleaved, in host byte order
 */
export function undoDifferencing(samples: WholeSamples, rowSamples: number, stride: number): void {
  const length = samples.length;
  if (stride === 1) {
    for (let row = 0; row < length; row += rowSamples) {
      let value = 0;
      for (let at = row, end = row + rowSamples; at < end; at++) {
        value = (value + samples[at]) | 0;
        samples[at] = value;
      }
    }
    return;
  }
  for (let row = 0; row < length; row += rowSamples) {
    for (let at = row + stride, end = row + rowSamples; at < end; at++) samples[at] += samples[at - stride];
  }
}

/**
 * Undo floating-point differencing (predictor 3) in place: byte differences over rows in which the
 * high bytes of all values come first, whatever the file's byte order.
 *
 * @param bytes rows of `rowSamples * sampleBytes`; afterwards values in host byte order
 * @see Adobe Photoshop TIFF technical note 3
 */
export function undoFloatDifferencing(
  bytes: Uint8Array,
  rowSamples: number,
  stride: number,
  sampleBytes: number,
): void {
  const rowBytes = rowSamples * sampleBytes;
  const planes = new Uint8Array(rowBytes);
  for (let row = 0; row < bytes.length; row += rowBytes) {
    for (let at = row + stride, end = row + rowBytes; at < end; at++) bytes[at] += bytes[at - stride];
    planes.set(bytes.subarray(row, row + rowBytes));
    for (let plane = 0; plane < sampleBytes; plane++) {
      const target = hostIsLittleEndian ? sampleBytes - 1 - plane : plane;
      const from = plane * rowSamples;
      for (let i = 0, to = row + target; i < rowSamples; i++, to += sampleBytes) bytes[to] = planes[from + i];
    }
  }
}
