const letters = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";
const codes = Uint8Array.from(letters, (letter) => letter.charCodeAt(0));
const padding = "=".charCodeAt(0);
const textPiece = 8192;

/** Base64 with padding (RFC 4648, section 4). */
export function base64(bytes: Uint8Array): string {
  const text = new Uint8Array(4 * Math.ceil(bytes.length / 3)).fill(padding);
  for (let from = 0, to = 0; from < bytes.length; from += 3, to += 4) {
    const left = bytes.length - from;
    const bits =
      (bytes[from] << 16) | ((left > 1 ? bytes[from + 1] : 0) << 8) | (left > 2 ? bytes[from + 2] : 0);
    text[to] = codes[bits >> 18];
    text[to + 1] = codes[(bits >> 12) & 63];
    if (left > 1) text[to + 2] = codes[(bits >> 6) & 63];
    if (left > 2) text[to + 3] = codes[bits & 63];
  }
  let out = "";
  for (let at = 0; at < text.length; at += textPiece)
    out += String.fromCharCode(...text.subarray(at, at + textPiece));
  return out;
}
