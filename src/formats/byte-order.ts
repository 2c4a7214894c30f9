/** True on machines whose typed arrays put the low byte first. */
export const hostIsLittleEndian = new Uint8Array(Uint16Array.of(1).buffer)[0] === 1;

/** Reverse the bytes of every `sampleBytes`-wide value, in place. `bytes` is a whole number of values. */
export function swapBytes(bytes: Uint8Array, sampleBytes: number): void {
  if (sampleBytes === 2) {
    swapPairs(bytes);
    return;
  }
  for (let at = 0; at + sampleBytes <= bytes.length; at += sampleBytes) {
    for (let low = at, high = at + sampleBytes - 1; low < high; low++, high--) {
      const keep = bytes[low];
      bytes[low] = bytes[high];
      bytes[high] = keep;
    }
  }
}

/** Two 16-bit values a step where alignment allows. */
function swapPairs(bytes: Uint8Array): void {
  let at = 0;
  if (bytes.byteOffset % 4 === 0) {
    const words = new Uint32Array(bytes.buffer, bytes.byteOffset, bytes.length >> 2);
    for (let i = 0; i < words.length; i++) {
      const word = words[i];
      words[i] = ((word & 0x00ff00ff) << 8) | ((word >>> 8) & 0x00ff00ff);
    }
    at = words.length * 4;
  }
  for (; at + 1 < bytes.length; at += 2) {
    const keep = bytes[at];
    bytes[at] = bytes[at + 1];
    bytes[at + 1] = keep;
  }
}
