/** TIFF tags the reader looks at (TIFF 6.0, its supplements, and BigTIFF). */
export const tag = {
  newSubfileType: 254,
  subfileType: 255,
  imageWidth: 256,
  imageLength: 257,
  bitsPerSample: 258,
  compression: 259,
  photometric: 262,
  fillOrder: 266,
  stripOffsets: 273,
  orientation: 274,
  samplesPerPixel: 277,
  rowsPerStrip: 278,
  stripByteCounts: 279,
  xResolution: 282,
  yResolution: 283,
  planarConfiguration: 284,
  resolutionUnit: 296,
  predictor: 317,
  colourMap: 320,
  tileWidth: 322,
  tileLength: 323,
  tileOffsets: 324,
  tileByteCounts: 325,
  extraSamples: 338,
  sampleFormat: 339,
  ycbcrSubSampling: 530,
} as const;

/** What a compression number means, for refusals. */
export const compressionNames: Readonly<Record<number, string>> = {
  2: "CCITT run-length", 3: "CCITT group 3 fax", 4: "CCITT group 4 fax", 6: "old-style JPEG", 7: "JPEG",
  9: "JBIG black and white", 10: "JBIG colour", 32766: "NeXT 2-bit", 32771: "CCITT run-length, word aligned",
  32809: "ThunderScan", 33003: "JPEG 2000", 33005: "JPEG 2000", 34661: "JBIG", 34676: "SGI log",
  34677: "SGI 24-bit log", 34712: "JPEG 2000", 34887: "LERC", 34892: "lossy JPEG", 34925: "LZMA",
  50000: "Zstandard", 50001: "WebP", 50002: "JPEG XL", 52546: "JPEG XL",
};
