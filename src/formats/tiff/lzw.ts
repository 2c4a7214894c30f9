import { damaged, unsupportedFeature } from "../errors.ts";

const clearCode = 256;
const endCode = 257;
const firstCode = 258;
const widest = 12;
/** Codes after which the table of 4096 is full. */
const fullTable = 4096 - firstCode + 1;

/** Where each code since the last clear began to write; shared by all calls, never read across a clear. */
const codeStarts = new Int32Array(fullTable + 1);

/**
 * Expand TIFF LZW (most significant bit first, codes widen one early) into `out`.
 *
 * The string that code `258 + j` stands for is what the j-th code since the clear wrote and the byte
 * after it. So the table needs no strings: where each code began to write is enough.
 * Decoding stops when `out` is full, at the end code, or when the input runs out.
 *
 * @returns bytes written
 * @throws UnreadablePictureError damaged on a code that does not exist yet, unsupported-feature on the
 * least-significant-bit-first coding that came before TIFF 6.0
 * @see TIFF 6.0, section 13
 */
export function decodeLzw(input: Uint8Array, out: Uint8Array): number {
  if (input.length >= 2 && input[0] === 0 && (input[1] & 1) === 1) {
    throw unsupportedFeature(
      "TIFF with old-style LZW compression (least significant bit first)",
      "LZW as in TIFF 6.0",
    );
  }
  const starts = codeStarts;
  const size = out.length;
  const inputBytes = input.length;
  let at = 0;
  let written = 0;
  let bits = 0;
  let bitCount = 0;
  let width = 9;
  let mask = 511;
  let codes = 0;
  while (written < size) {
    if (bitCount < width) {
      if (at + 1 < inputBytes) {
        bits = (bits << 16) | (input[at] << 8) | input[at + 1];
        at += 2;
        bitCount += 16;
      } else {
        if (at >= inputBytes || bitCount + 8 < width) return written;
        bits = (bits << 8) | input[at++];
        bitCount += 8;
      }
    }
    bitCount -= width;
    const code = (bits >>> bitCount) & mask;
    if (code < clearCode) {
      if (codes < fullTable) starts[codes++] = written;
      out[written++] = code;
    } else if (code > endCode) {
      const entry = code - firstCode;
      if (entry >= codes) {
        throw damaged("LZW codes that were defined before", `LZW code ${code} comes before its definition`);
      }
      if (codes < fullTable) starts[codes++] = written;
      let from = starts[entry];
      const end = Math.min(written + starts[entry + 1] - from + 1, size);
      // Forward byte by byte: a string may run into the bytes that it is writing.
      do out[written++] = out[from++];
      while (written < end);
    } else if (code === clearCode) {
      width = 9;
      mask = 511;
      codes = 0;
      continue;
    } else {
      return written;
    }
    if (codes + clearCode + 1 >= mask && width < widest) {
      width++;
      mask = (1 << width) - 1;
    }
  }
  return written;
}
