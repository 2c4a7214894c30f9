/**
 * Expand PackBits runs into `out`, stopping when it is full.
 *
 * @returns bytes written
 * @see TIFF 6.0, section 9
 */
export function decodePackBits(input: Uint8Array, out: Uint8Array): number {
  let at = 0;
  let written = 0;
  while (written < out.length && at < input.length) {
    const control = input[at++];
    if (control === 128) continue;
    if (control < 128) {
      const length = Math.min(control + 1, out.length - written, input.length - at);
      out.set(input.subarray(at, at + length), written);
      at += control + 1;
      written += length;
    } else {
      if (at >= input.length) break;
      const end = Math.min(written + 257 - control, out.length);
      out.fill(input[at++], written, end);
      written = end;
    }
  }
  return written;
}
