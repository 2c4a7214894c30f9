const letters = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";
const pairs = Array.from({ length: 4096 }, (_, bits) => letters[bits >> 6] + letters[bits & 63]);

/** Base64 with padding (RFC 4648, section 4). */
export function base64(bytes: Uint8Array): string {
  const whole = bytes.length - (bytes.length % 3);
  const chunks: string[] = [];
  for (let at = 0; at < whole; at += 3) {
    const bits = (bytes[at] << 16) | (bytes[at + 1] << 8) | bytes[at + 2];
    chunks.push(pairs[bits >> 12], pairs[bits & 4095]);
  }
  const left = bytes.length - whole;
  if (left === 1) chunks.push(`${pairs[bytes[whole] << 4]}==`);
  if (left === 2) {
    const bits = ((bytes[whole] << 8) | bytes[whole + 1]) << 2;
    chunks.push(pairs[bits >> 6], `${letters[bits & 63]}=`);
  }
  return chunks.join("");
}
