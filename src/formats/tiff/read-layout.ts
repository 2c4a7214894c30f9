import { damaged, tooLarge, unsupportedFeature } from "../errors.ts";
import type { Limits } from "../limits.ts";
import { checkPixels } from "../limits.ts";
import { checkClaims } from "./claims.ts";
import type { Directory } from "./directory.ts";
import type { TiffLayout } from "./layout.ts";
import { readSegmentSize, readSegments } from "./segment-table.ts";
import { compressionNames, tag } from "./tags.ts";

const compressions: Readonly<Record<number, TiffLayout["compression"]>> = {
  1: "none",
  5: "lzw",
  8: "deflate",
  32946: "deflate",
  50013: "deflate",
  32773: "packbits",
};

/**
 * Read and check one page's description. Nothing the size of the picture is allocated here.
 *
 * @param fileBytes length of the file, to bound offsets and claims
 * @throws UnreadablePictureError
 */
export function readLayout(directory: Directory, fileBytes: number, limits: Limits): TiffLayout {
  const widthPx = directory.number(tag.imageWidth, 0);
  const heightPx = directory.number(tag.imageLength, 0);
  if (!(widthPx >= 1 && heightPx >= 1)) {
    throw damaged("a width and a height of at least 1", `The TIFF page is ${widthPx} x ${heightPx} pixels`);
  }
  checkPixels(widthPx, heightPx, limits);
  const compressionNumber = directory.number(tag.compression, 1);
  const compression = compressions[compressionNumber];
  if (compression === undefined) {
    const name = compressionNames[compressionNumber];
    throw unsupportedFeature(
      `TIFF with ${name === undefined ? "" : `${name} `}compression (${compressionNumber})`,
      "no compression, LZW, deflate or PackBits",
    );
  }
  const sample = readSampleKind(directory, limits);
  const predictor = directory.number(tag.predictor, 1);
  const usedPredictor =
    compression === "lzw" || compression === "deflate" ? checkedPredictor(predictor, sample) : 1;
  const fillOrder = directory.number(tag.fillOrder, 1);
  if (fillOrder !== 1 && fillOrder !== 2)
    throw damaged("fill order 1 or 2", `The TIFF page says ${fillOrder}`);

  const layout = {
    widthPx,
    heightPx,
    ...sample,
    compression,
    predictor: usedPredictor,
    reversedBits: fillOrder === 2,
    planar: sample.channels > 1 && directory.number(tag.planarConfiguration, 1) === 2,
    ...readSegmentSize(directory, widthPx, heightPx, limits),
    offsets: [],
    byteCounts: [],
  } satisfies TiffLayout;
  const segments = readSegments(directory, layout, fileBytes);
  const complete = { ...layout, ...segments };
  checkClaims(complete, fileBytes, limits);
  return complete;
}

function readSampleKind(
  directory: Directory,
  limits: Limits,
): Pick<TiffLayout, "channels" | "bits" | "sampleType"> {
  const channels = directory.number(tag.samplesPerPixel, 1);
  if (channels < 1) throw damaged("at least one sample a pixel", `The TIFF page has ${channels}`);
  if (channels > limits.maxChannels)
    throw tooLarge(`at most ${limits.maxChannels} samples a pixel`, `The TIFF page has ${channels}`);
  const allBits = Array.from(directory.numbers(tag.bitsPerSample, channels) ?? [1]);
  const bits = allBits[0];
  if (allBits.some((each) => each !== bits)) {
    throw unsupportedFeature(
      `TIFF with samples of different widths (${allBits.join(", ")} bits)`,
      "one width for all samples",
    );
  }
  const formats = Array.from(directory.numbers(tag.sampleFormat, channels) ?? [1]);
  if (formats.some((each) => each !== formats[0])) {
    throw unsupportedFeature("TIFF with samples of different kinds", "one kind for all samples");
  }
  const sampleType = ({ 1: "unsigned", 2: "signed", 3: "float", 4: "unsigned" } as const)[
    formats[0] as 1 | 2 | 3 | 4
  ];
  if (sampleType === undefined)
    throw unsupportedFeature(
      `TIFF with complex samples (format ${formats[0]})`,
      "whole or floating-point samples",
    );
  const known =
    sampleType === "unsigned"
      ? (bits >= 1 && bits <= 16) || bits === 32
      : sampleType === "signed"
        ? [8, 16, 32].includes(bits)
        : [16, 32, 64].includes(bits);
  if (!known)
    throw unsupportedFeature(
      `TIFF with ${bits}-bit ${sampleType} samples`,
      "1 to 16 or 32-bit unsigned, 8, 16 or 32-bit signed, or 16, 32 or 64-bit float",
    );
  return { channels, bits, sampleType };
}

function checkedPredictor(
  predictor: number,
  { bits, sampleType }: Pick<TiffLayout, "bits" | "sampleType">,
): 1 | 2 | 3 {
  if (predictor === 1) return 1;
  if (predictor === 2 && [8, 16, 32].includes(bits)) return 2;
  if (predictor === 3 && sampleType === "float") return 3;
  throw unsupportedFeature(
    `TIFF with predictor ${predictor} on ${bits}-bit ${sampleType} samples`,
    "predictor 1, 2 (8, 16, 32 bits) or 3 (float)",
  );
}
