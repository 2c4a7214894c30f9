/** True when `magic` stands at `offset`; a string is taken as one byte a character. */
function has(bytes: Uint8Array, magic: string | readonly number[], offset = 0): boolean {
  if (bytes.length < offset + magic.length) return false;
  for (let i = 0; i < magic.length; i++) {
    const want = typeof magic === "string" ? magic.charCodeAt(i) : magic[i];
    if (bytes[offset + i] !== want) return false;
  }
  return true;
}

/** Classic (42) and BigTIFF (43), both byte orders. */
export function tiff(bytes: Uint8Array): boolean {
  return (
    has(bytes, [0x49, 0x49, 42, 0]) ||
    has(bytes, [0x4d, 0x4d, 0, 42]) ||
    has(bytes, [0x49, 0x49, 43, 0]) ||
    has(bytes, [0x4d, 0x4d, 0, 43])
  );
}

const pngSignature = [0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a];

/** The signature, or a header chunk in its place behind a damaged one. */
export function png(bytes: Uint8Array): boolean {
  return wholePngSignature(bytes) || has(bytes, "IHDR", 12);
}

export function wholePngSignature(bytes: Uint8Array): boolean {
  return has(bytes, pngSignature);
}

export function jpeg(bytes: Uint8Array): boolean {
  return has(bytes, [0xff, 0xd8, 0xff]);
}

/** A JPEG whose frame header is SOF55, the one of JPEG-LS (ITU-T T.87). */
export function jpegLs(bytes: Uint8Array): boolean {
  if (!jpeg(bytes)) return false;
  let at = 2;
  while (at + 4 <= bytes.length && bytes[at] === 0xff) {
    const marker = bytes[at + 1];
    if (marker === 0xff) {
      at++;
      continue;
    }
    if (marker === 0xf7) return true;
    if (
      (marker >= 0xc0 && marker <= 0xcf && marker !== 0xc4 && marker !== 0xc8 && marker !== 0xcc) ||
      marker === 0xda
    ) {
      return false;
    }
    at += 2 + ((bytes[at + 2] << 8) | bytes[at + 3]);
  }
  return false;
}

/** DICOM part 10: 128 bytes of anything, then DICM. */
export function dicom(bytes: Uint8Array): boolean {
  return has(bytes, "DICM", 128);
}

/**
 * A data set that begins at once: group 2 or 8, a low element, then an explicit VR or a short implicit
 * length; or group 8 big-endian with an explicit VR.
 */
export function bareDicom(bytes: Uint8Array): boolean {
  if (has(bytes, [0, 8, 0]) && bytes.length > 8 && bytes[3] <= 0x18 && isVr(bytes)) return true;
  if (bytes.length < 12 || (bytes[0] !== 2 && bytes[0] !== 8) || bytes[1] !== 0 || bytes[3] !== 0)
    return false;
  if (bytes[2] > 0x18) return false;
  if (isVr(bytes)) return true;
  return bytes[6] === 0 && bytes[7] === 0 && bytes[4] > 0 && bytes[4] <= 64 && bytes[5] === 0;
}

/** Two capital letters where an explicit value representation stands. */
function isVr(bytes: Uint8Array): boolean {
  const upper = (byte: number): boolean => byte >= 0x41 && byte <= 0x5a;
  return upper(bytes[4]) && upper(bytes[5]);
}

const jp2Signature = [0, 0, 0, 12, 0x6a, 0x50, 0x20, 0x20, 0x0d, 0x0a, 0x87, 0x0a];

/** Offset of a JPEG 2000 codestream (SOC, SIZ) within the first kibibytes; -1 without one. */
function codestreamAt(bytes: Uint8Array): number {
  const soc = [0xff, 0x4f, 0xff, 0x51];
  if (has(bytes, soc)) return 0;
  if (!has(bytes, jp2Signature)) return -1;
  const end = Math.min(bytes.length, 4096);
  for (let at = 12; at < end; at++) if (has(bytes, soc, at)) return at;
  return -1;
}

/** JPEG 2000 part 15: brand jph, or bit 14 of Rsiz in the codestream (ISO/IEC 15444-15). */
export function htj2k(bytes: Uint8Array): boolean {
  if (has(bytes, jp2Signature) && has(bytes, "ftypjph ", 16)) return true;
  const at = codestreamAt(bytes);
  return at >= 0 && at + 8 <= bytes.length && (bytes[at + 6] & 0x40) !== 0;
}

export function jpeg2000(bytes: Uint8Array): boolean {
  return has(bytes, jp2Signature) || codestreamAt(bytes) >= 0;
}

export function jpegXl(bytes: Uint8Array): boolean {
  return has(bytes, [0xff, 0x0a]) || has(bytes, [0, 0, 0, 12, 0x4a, 0x58, 0x4c, 0x20]);
}

export function gif(bytes: Uint8Array): boolean {
  return has(bytes, "GIF87a") || has(bytes, "GIF89a");
}

/** "BM", then the four reserved bytes at zero, since two letters alone are too little. */
export function bmp(bytes: Uint8Array): boolean {
  return has(bytes, "BM") && has(bytes, [0, 0, 0, 0], 6);
}

export function webp(bytes: Uint8Array): boolean {
  return has(bytes, "RIFF") && has(bytes, "WEBP", 8);
}

export function heif(bytes: Uint8Array): boolean {
  return (
    has(bytes, "ftyp", 4) &&
    ["avif", "avis", "heic", "heix", "mif1", "msf1"].some((brand) => has(bytes, brand, 8))
  );
}

export function pnm(bytes: Uint8Array): boolean {
  return (
    bytes.length > 3 &&
    bytes[0] === 0x50 &&
    bytes[1] >= 0x31 &&
    bytes[1] <= 0x37 &&
    [9, 10, 13, 32].includes(bytes[2])
  );
}

export function fits(bytes: Uint8Array): boolean {
  return has(bytes, "SIMPLE  =");
}

export function hdf5(bytes: Uint8Array): boolean {
  return has(bytes, [0x89, 0x48, 0x44, 0x46, 0x0d, 0x0a, 0x1a, 0x0a]);
}

export function numpy(bytes: Uint8Array): boolean {
  return has(bytes, [0x93, 0x4e, 0x55, 0x4d, 0x50, 0x59]);
}

export function ole(bytes: Uint8Array): boolean {
  return has(bytes, [0xd0, 0xcf, 0x11, 0xe0, 0xa1, 0xb1, 0x1a, 0xe1]);
}

export function pdf(bytes: Uint8Array): boolean {
  return has(bytes, "%PDF-");
}

export function gzip(bytes: Uint8Array): boolean {
  return has(bytes, [0x1f, 0x8b]);
}

export function zip(bytes: Uint8Array): boolean {
  return has(bytes, [0x50, 0x4b, 3, 4]) || has(bytes, [0x50, 0x4b, 5, 6]) || has(bytes, [0x50, 0x4b, 7, 8]);
}

/** Nothing but printable bytes, tabs and line ends among the first 512. */
export function text(bytes: Uint8Array): boolean {
  const end = Math.min(bytes.length, 512);
  for (let i = 0; i < end; i++) {
    const byte = bytes[i];
    if (byte === 0x7f || (byte < 32 && byte !== 9 && byte !== 10 && byte !== 13 && byte !== 12)) return false;
  }
  return true;
}
