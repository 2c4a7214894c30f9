import type { Picture, Samples } from "../../radiograph/picture.ts";
import { UnreadablePictureError, unsupportedFeature } from "../errors.ts";
import type { ReadOptions } from "../read-options.ts";
import type { Directory } from "./directory.ts";
import { openTiff } from "./directory.ts";
import { taggedPitch } from "./pitch.ts";
import { readLayout } from "./read-layout.ts";
import { decodeSamples } from "./segments.ts";
import { tag } from "./tags.ts";

/**
 * Decode one page of a TIFF file.
 *
 * @returns samples as stored; min-is-white is reported, not inverted; orientation reported, not applied
 * @throws UnreadablePictureError
 * @see docs/methods/reading.md
 */
export function readTiff(bytes: Uint8Array, options: ReadOptions): Picture {
  const { limits, codecs } = options;
  const file = openTiff(bytes, limits);
  const full = file.directories.filter((directory) => !isReduced(directory));
  const pages = full.length > 0 ? full : file.directories;
  const page = options.page ?? 0;
  const directory = pages[page];
  if (directory === undefined) {
    throw new UnreadablePictureError("no-such-page", {
      expected: `a page from 0 to ${pages.length - 1}`,
      received: `Page ${page} was asked for and the file has ${pages.length}`,
      nextStep: "Choose a page that exists",
    });
  }
  const notes = [...file.notes];
  if (pages.length > 1) notes.push(`page ${page + 1} of ${pages.length} was read`);
  const skipped = file.directories.length - pages.length;
  if (skipped > 0) notes.push(`${skipped} reduced-size or mask page(s) left aside`);

  const photometric = readPhotometric(directory, notes);
  const layout = readLayout(directory, bytes.length, limits);
  const { widthPx, heightPx, channels, bits, sampleType } = layout;
  if (
    (photometric === "min-is-black" || photometric === "min-is-white" || photometric === "palette") &&
    channels > 1
  ) {
    notes.push(`${channels} samples a pixel: the first is the picture, the rest are extra (alpha or others)`);
  } else if (photometric === "colour" && channels > 3 && directory.has(tag.extraSamples)) {
    notes.push("extra samples (alpha or others) follow the colours");
  }
  const orientation = directory.number(tag.orientation, 1);
  if (orientation !== 1) notes.push(`orientation tag ${orientation}: not applied, pixels are as stored`);

  const samples: Samples = decodeSamples(bytes, layout, file.littleEndian, codecs);
  const pitch = taggedPitch(directory);
  const palette = photometric === "palette" ? readPalette(directory) : undefined;
  return {
    format: "tiff",
    widthPx,
    heightPx,
    channels,
    samples,
    bits,
    sampleType,
    photometric,
    pages: pages.length,
    page,
    lossy: false,
    notes,
    ...(pitch === undefined ? {} : { taggedPitch: pitch }),
    ...(palette === undefined ? {} : { palette }),
  };
}

/** Thumbnails and transparency masks: bits 0 and 2 of NewSubfileType, or the old SubfileType 2. */
function isReduced(directory: Directory): boolean {
  return (directory.number(tag.newSubfileType, 0) & 5) !== 0 || directory.number(tag.subfileType, 1) === 2;
}

function readPhotometric(directory: Directory, notes: string[]): Picture["photometric"] {
  const value = directory.number(tag.photometric, -1);
  switch (value) {
    case 0:
      return "min-is-white";
    case 1:
      return "min-is-black";
    case 2:
      return "colour";
    case 3:
      return "palette";
    case 5:
      notes.push("CMYK colour: samples are inks");
      return "colour";
    case -1:
      notes.push("no photometric tag: taken as min-is-black");
      return directory.number(tag.samplesPerPixel, 1) >= 3 ? "colour" : "min-is-black";
    default:
      break;
  }
  const compression = directory.number(tag.compression, 1);
  const names: Readonly<Record<number, string>> = {
    4: "a transparency mask",
    6: "YCbCr colour",
    8: "CIELab colour",
    9: "ICCLab colour",
    10: "ITULab colour",
    32803: "a colour filter array",
    32844: "log luminance",
    32845: "log colour",
    34892: "linear raw",
  };
  const jpeg = compression === 6 || compression === 7 ? " with JPEG compression" : "";
  throw unsupportedFeature(
    `TIFF holding ${names[value] ?? `photometric ${value}`}${jpeg}`,
    "grey, RGB or palette samples",
  );
}

/** Interleaved 16-bit red, green, blue of each palette entry. */
function readPalette(directory: Directory): Uint16Array | undefined {
  const planes = directory.numbers(tag.colourMap, 3 * 65_536);
  if (planes === undefined || planes.length < 3) return undefined;
  const entries = Math.floor(planes.length / 3);
  const palette = new Uint16Array(entries * 3);
  for (let i = 0; i < entries; i++) for (let c = 0; c < 3; c++) palette[3 * i + c] = planes[c * entries + i];
  return palette;
}
