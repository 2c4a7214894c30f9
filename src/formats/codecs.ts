/** What a JPEG decoder hands back: 8-bit samples as coded, channels interleaved, not rotated. */
export interface DecodedJpeg {
  readonly width: number;
  readonly height: number;
  readonly channels: number;
  /** Row-major, `width * height * channels` long. */
  readonly data: Uint8Array;
}

/** Decoders that the shell supplies, so that the core touches no platform library. */
export interface Codecs {
  /**
   * Expand a zlib stream (RFC 1950). Bytes after its end are ignored.
   *
   * @throws any error when the stream is damaged, ends early, or gives more than `maxOutputBytes`
   */
  inflate(bytes: Uint8Array, maxOutputBytes: number): Uint8Array;
  /** Decode a baseline or progressive 8-bit JPEG of `channels` 1 (grey) or 3 (RGB). @throws any error when damaged */
  decodeJpeg(bytes: Uint8Array, maxPixels: number, channels: 1 | 3): Promise<DecodedJpeg>;
  /** CRC-32 as PNG uses it, when the platform has a fast one. */
  crc32?(bytes: Uint8Array): number;
}
