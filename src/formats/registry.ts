import type { Picture } from "../radiograph/picture.ts";
import { readJpeg } from "./jpeg/read-jpeg.ts";
import { readPng } from "./png/read-png.ts";
import type { ReadOptions } from "./read-options.ts";
import * as is from "./recognise.ts";
import { readTiff } from "./tiff/read-tiff.ts";

interface FormatBase {
  readonly id: string;
  /** As a sentence would name it: "The file is <name>". */
  readonly name: string;
  readonly extensions: readonly string[];
  /** True when the bytes begin as this format does. Never looks at a name. */
  recognise(bytes: Uint8Array): boolean;
}

/** A format with a reader; `version` changes whenever the samples it gives could. */
export interface ReadFormat extends FormatBase {
  readonly version: string;
  read(bytes: Uint8Array, options: ReadOptions): Picture | Promise<Picture>;
}

/** A format that is only named, so that its refusal can say what the file is. */
export interface NamedFormat extends FormatBase {
  readonly read?: never;
  readonly nextStep: string;
}

export type PictureFormat = ReadFormat | NamedFormat;

const saveAsTiff = "Save the picture again as uncompressed 16-bit greyscale TIFF";
const unpack = "Unpack it and give the pictures inside";
const exportIt = "Give the picture file itself";

/** Every format known, in the order in which it is tried: the first that recognises the bytes wins. */
export const formats: readonly PictureFormat[] = [
  // Before TIFF: a DICOM preamble may hold a TIFF header (PS3.10, section 7.1).
  { id: "dicom", name: "a DICOM file", extensions: ["dcm"], recognise: is.dicom, nextStep: saveAsTiff },
  {
    id: "tiff",
    version: "1",
    name: "a TIFF picture",
    extensions: ["tif", "tiff", "btf", "tf8"],
    recognise: is.tiff,
    read: readTiff,
  },
  {
    id: "png",
    version: "1",
    name: "a PNG picture",
    extensions: ["png", "apng"],
    recognise: is.png,
    read: readPng,
  },
  {
    id: "jpeg-ls",
    name: "a JPEG-LS picture",
    extensions: ["jls"],
    recognise: is.jpegLs,
    nextStep: saveAsTiff,
  },
  {
    id: "jpeg",
    version: "1",
    name: "a JPEG picture",
    extensions: ["jpg", "jpeg"],
    recognise: is.jpeg,
    read: readJpeg,
  },
  {
    id: "dicom-bare",
    name: "a DICOM data set without its preamble",
    extensions: ["dcm"],
    recognise: is.bareDicom,
    nextStep: saveAsTiff,
  },
  {
    id: "htj2k",
    name: "a high-throughput JPEG 2000 picture (HTJ2K)",
    extensions: ["jph", "jhc"],
    recognise: is.htj2k,
    nextStep: saveAsTiff,
  },
  {
    id: "jpeg-2000",
    name: "a JPEG 2000 picture",
    extensions: ["jp2", "j2k", "jpx"],
    recognise: is.jpeg2000,
    nextStep: saveAsTiff,
  },
  {
    id: "jpeg-xl",
    name: "a JPEG XL picture",
    extensions: ["jxl"],
    recognise: is.jpegXl,
    nextStep: saveAsTiff,
  },
  { id: "gif", name: "a GIF picture", extensions: ["gif"], recognise: is.gif, nextStep: saveAsTiff },
  { id: "bmp", name: "a BMP picture", extensions: ["bmp"], recognise: is.bmp, nextStep: saveAsTiff },
  { id: "webp", name: "a WebP picture", extensions: ["webp"], recognise: is.webp, nextStep: saveAsTiff },
  {
    id: "heif",
    name: "an AVIF or HEIF picture",
    extensions: ["avif", "heic"],
    recognise: is.heif,
    nextStep: saveAsTiff,
  },
  {
    id: "pnm",
    name: "a PGM, PPM or PBM picture",
    extensions: ["pgm", "ppm", "pbm", "pnm", "pam"],
    recognise: is.pnm,
    nextStep: saveAsTiff,
  },
  { id: "fits", name: "a FITS file", extensions: ["fits", "fit"], recognise: is.fits, nextStep: saveAsTiff },
  { id: "hdf5", name: "an HDF5 file", extensions: ["h5", "hdf5"], recognise: is.hdf5, nextStep: saveAsTiff },
  { id: "numpy", name: "a NumPy array file", extensions: ["npy"], recognise: is.numpy, nextStep: saveAsTiff },
  { id: "ole", name: "an OLE compound file", extensions: [], recognise: is.ole, nextStep: saveAsTiff },
  { id: "pdf", name: "a PDF document", extensions: ["pdf"], recognise: is.pdf, nextStep: exportIt },
  { id: "gzip", name: "a gzip archive", extensions: ["gz"], recognise: is.gzip, nextStep: unpack },
  { id: "zip", name: "a zip archive", extensions: ["zip"], recognise: is.zip, nextStep: unpack },
  {
    id: "text",
    name: "plain text",
    extensions: ["txt", "csv", "json"],
    recognise: is.text,
    nextStep: exportIt,
  },
];

/** The format whose magic number the bytes carry. */
export function recogniseFormat(bytes: Uint8Array): PictureFormat | undefined {
  return formats.find((format) => format.recognise(bytes));
}
