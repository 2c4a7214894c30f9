const ALPHABET = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";

/** Bytes of a base64 text without line breaks (the core has neither Buffer nor atob). */
export function bytesOfBase64(text: string): Uint8Array<ArrayBuffer> {
  const codes = new Uint8Array(128);
  for (let i = 0; i < ALPHABET.length; i++) codes[ALPHABET.charCodeAt(i)] = i;
  const padding = text.endsWith("==") ? 2 : text.endsWith("=") ? 1 : 0;
  const bytes = new Uint8Array((text.length / 4) * 3 - padding);
  for (let i = 0, at = 0; i < text.length; i += 4) {
    let group = 0;
    for (let k = 0; k < 4; k++) group = (group << 6) | codes[text.charCodeAt(i + k)];
    bytes[at++] = group >> 16;
    if (at < bytes.length) bytes[at++] = (group >> 8) & 255;
    if (at < bytes.length) bytes[at++] = group & 255;
  }
  return bytes;
}
