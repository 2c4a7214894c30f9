import type { Picture } from "../../radiograph/picture.ts";
import { damaged, tooLarge, truncated, unsupportedFeature } from "../errors.ts";
import { defaultLimits } from "../limits.ts";
import { openTiff } from "../tiff/directory.ts";
import { tag } from "../tiff/tags.ts";

/** What a JPEG says before its pixels are decoded. */
export interface JpegHeader {
  readonly widthPx: number;
  readonly heightPx: number;
  readonly channels: 1 | 3;
  readonly progressive: boolean;
  /** EXIF orientation, 1 when there is none. */
  readonly orientation: number;
  readonly taggedPitch?: NonNullable<Picture["taggedPitch"]>;
}

/** More scans than any encoder writes; each one costs a pass over the whole picture. */
const maxScans = 256;

const frames: Readonly<Record<number, string>> = {
  0xc3: "lossless JPEG",
  0xc5: "differential JPEG",
  0xc6: "differential progressive JPEG",
  0xc7: "differential lossless JPEG",
  0xc9: "arithmetic-coded JPEG",
  0xca: "arithmetic-coded progressive JPEG",
  0xcb: "arithmetic-coded lossless JPEG",
  0xcd: "differential arithmetic-coded JPEG",
  0xce: "differential arithmetic-coded JPEG",
  0xcf: "differential arithmetic-coded JPEG",
};

const plain = "baseline or progressive 8-bit JPEG, grey or three colours";

/**
 * Walk the markers of a JPEG to its end, decoding nothing.
 *
 * @throws UnreadablePictureError truncated without an end marker, unsupported-feature naming the coding
 * @see ITU-T T.81, annex B
 */
export function readJpegHeader(bytes: Uint8Array): JpegHeader {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.length);
  let at = 2;
  let scans = 0;
  let frame: Pick<JpegHeader, "widthPx" | "heightPx" | "channels" | "progressive"> | undefined;
  let orientation = 1;
  let taggedPitch: Picture["taggedPitch"];
  for (;;) {
    at = bytes.indexOf(0xff, at);
    while (at >= 0 && at + 1 < bytes.length && bytes[at + 1] === 0xff) at++;
    if (at < 0 || at + 1 >= bytes.length)
      throw truncated(bytes.length, bytes.length + 2, "the JPEG data (no end marker was met)");
    const marker = bytes[at + 1];
    at += 2;
    if (marker === 0xd9) break;
    if (marker <= 1 || (marker >= 0xd0 && marker <= 0xd8)) continue;
    if (at + 2 > bytes.length) throw truncated(bytes.length, at + 2, "a JPEG segment");
    const length = view.getUint16(at);
    if (length < 2) throw damaged("a JPEG segment of at least 2 bytes", `A segment claims ${length}`);
    if (at + length > bytes.length) throw truncated(bytes.length, at + length, "a JPEG segment");
    const segment = bytes.subarray(at + 2, at + length);
    if (frames[marker] !== undefined) throw unsupportedFeature(frames[marker], plain);
    if (marker === 0xc0 || marker === 0xc1 || marker === 0xc2) frame ??= readFrame(segment, marker === 0xc2);
    else if (marker === 0xe0) taggedPitch ??= jfifPitch(segment);
    else if (marker === 0xe1) orientation = exifOrientation(segment) ?? orientation;
    else if (marker === 0xda && ++scans > maxScans)
      throw tooLarge(`at most ${maxScans} scans`, "The JPEG has more scans");
    at += length;
  }
  if (frame === undefined || scans === 0)
    throw damaged("a JPEG frame and a scan", "The JPEG has no picture in it");
  return { ...frame, orientation, ...(taggedPitch === undefined ? {} : { taggedPitch }) };
}

function readFrame(segment: Uint8Array, progressive: boolean) {
  if (segment.length < 6)
    throw damaged("a JPEG frame header of at least 6 bytes", `It has ${segment.length}`);
  const [bits, height1, height0, width1, width0, components] = segment;
  if (bits !== 8) throw unsupportedFeature(`${bits}-bit JPEG`, plain);
  if (components !== 1 && components !== 3)
    throw unsupportedFeature(`JPEG with ${components} components`, plain);
  const widthPx = (width1 << 8) | width0;
  const heightPx = (height1 << 8) | height0;
  if (widthPx === 0 || heightPx === 0)
    throw damaged("a width and a height of at least 1", `The JPEG is ${widthPx} x ${heightPx} pixels`);
  return { widthPx, heightPx, channels: components as 1 | 3, progressive };
}

function startsWith(segment: Uint8Array, text: string): boolean {
  for (let i = 0; i < text.length; i++) if (segment[i] !== text.charCodeAt(i)) return false;
  return true;
}

function jfifPitch(segment: Uint8Array): Picture["taggedPitch"] {
  if (segment.length < 12 || !startsWith(segment, "JFIF\0")) return undefined;
  const x = (segment[8] << 8) | segment[9];
  const y = (segment[10] << 8) | segment[11];
  const unit = ({ 1: ["inch", 25_400], 2: ["centimetre", 10_000] } as const)[segment[7] as 1 | 2];
  if (unit === undefined || x === 0 || y === 0) return undefined;
  return {
    umPerPxX: unit[1] / x,
    umPerPxY: unit[1] / y,
    source: `JPEG JFIF density: ${x} x ${y} per ${unit[0]}`,
  };
}

/** EXIF is a small TIFF file inside the segment; a broken one only loses its orientation. */
function exifOrientation(segment: Uint8Array): number | undefined {
  if (!startsWith(segment, "Exif\0\0")) return undefined;
  try {
    const value = openTiff(segment.subarray(6), { ...defaultLimits, maxPages: 4 }).directories[0].number(
      tag.orientation,
      1,
    );
    return value >= 1 && value <= 8 ? value : undefined;
  } catch {
    return undefined;
  }
}
