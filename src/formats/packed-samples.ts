/**
 * Spread samples of 1 to 16 bits, packed most significant bit first with each row starting on a byte,
 * into one array element each.
 *
 * @param bytes `rows * ceil(rowSamples * bits / 8)` long
 * @returns values as stored, 0 .. 2^bits - 1
 */
export function unpackSamples(
  bytes: Uint8Array,
  rows: number,
  rowSamples: number,
  bits: number,
): Uint8Array | Uint16Array {
  const out = bits <= 8 ? new Uint8Array(rows * rowSamples) : new Uint16Array(rows * rowSamples);
  const rowBytes = Math.ceil((rowSamples * bits) / 8);
  const mask = (1 << bits) - 1;
  let to = 0;
  for (let row = 0; row < rows; row++) {
    let at = row * rowBytes;
    let held = 0;
    let heldBits = 0;
    for (let i = 0; i < rowSamples; i++) {
      while (heldBits < bits) {
        held = (held << 8) | bytes[at++];
        heldBits += 8;
      }
      heldBits -= bits;
      out[to++] = (held >>> heldBits) & mask;
    }
  }
  return out;
}

/** Reverse the bits of every byte into a new array (fill order 2). */
export function reverseBits(bytes: Uint8Array): Uint8Array {
  const out = new Uint8Array(bytes.length);
  for (let i = 0; i < bytes.length; i++) out[i] = reversed[bytes[i]];
  return out;
}

const reversed = Uint8Array.from({ length: 256 }, (_, byte) => {
  let result = 0;
  for (let bit = 0; bit < 8; bit++) if (byte & (1 << bit)) result |= 0x80 >> bit;
  return result;
});

/** IEEE 754 half-precision values as 32-bit floats; exact, since each half is a float. */
export function halvesToFloats(halves: Uint16Array): Float32Array {
  const out = new Float32Array(halves.length);
  for (let i = 0; i < halves.length; i++) {
    const half = halves[i];
    const sign = half & 0x8000 ? -1 : 1;
    const exponent = (half >> 10) & 31;
    const fraction = half & 1023;
    if (exponent === 0) out[i] = sign * fraction * 2 ** -24;
    else if (exponent === 31) out[i] = fraction === 0 ? sign * Number.POSITIVE_INFINITY : Number.NaN;
    else out[i] = sign * (1 + fraction / 1024) * 2 ** (exponent - 15);
  }
  return out;
}
