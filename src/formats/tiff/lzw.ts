import { damaged, unsupportedFeature } from "../errors.ts";

const clearCode = 256;
const endCode = 257;
const tableSize = 4096;

const starts = new Int32Array(tableSize);
const lengths = new Int32Array(tableSize);

/**
 * Expand TIFF LZW (most significant bit first, codes widen one early) into `out`.
 *
 * Each string of the table is a stretch of what has been written already, so the table holds a
 * start and a length and no bytes. Decoding stops when `out` is full or at the end code.
 *
 * @returns bytes written
 * @throws UnreadablePictureError damaged on a code that does not exist yet
 * @see TIFF 6.0, section 13
 */
export function decodeLzw(input: Uint8Array, out: Uint8Array): number {
  if (input.length >= 2 && input[0] === 0 && (input[1] & 1) === 1) {
    throw unsupportedFeature("TIFF with old-style LZW compression (least significant bit first)", "LZW as in TIFF 6.0");
  }
  const size = out.length;
  const inputLength = input.length;
  let at = 0;
  let written = 0;
  let bits = 0;
  let bitCount = 0;
  let width = 9;
  let next = 258;
  let widenAt = 511;
  let previousStart = 0;
  let previousLength = 0;
  while (written < size) {
    while (bitCount < width) {
      if (at >= inputLength) return written;
      bits = (bits << 8) | input[at++];
      bitCount += 8;
    }
    bitCount -= width;
    const code = (bits >>> bitCount) & ((1 << width) - 1);
    if (code < 256) {
      if (previousLength > 0 && next < tableSize) {
        starts[next] = previousStart;
        lengths[next++] = previousLength + 1;
      }
      previousStart = written;
      previousLength = 1;
      out[written++] = code;
    } else if (code > endCode) {
      if (previousLength > 0 && next < tableSize) {
        starts[next] = previousStart;
        lengths[next++] = previousLength + 1;
      }
      if (code >= next || previousLength === 0) {
        throw damaged("LZW codes that were defined before", `LZW code ${code} comes before its definition`);
      }
      const from = starts[code];
      let length = lengths[code];
      if (length > size - written) length = size - written;
      previousStart = written;
      previousLength = length;
      if (length > 24 && from + length <= written) {
        out.copyWithin(written, from, from + length);
        written += length;
      } else {
        // Forward byte by byte: a string may run into the bytes it is writing.
        for (let source = from, end = from + length; source < end; ) out[written++] = out[source++];
      }
    } else if (code === clearCode) {
      width = 9;
      next = 258;
      widenAt = 511;
      previousLength = 0;
      continue;
    } else {
      return written;
    }
    if (next >= widenAt && width < 12) {
      width++;
      widenAt = (1 << width) - 1;
    }
  }
  return written;
}
