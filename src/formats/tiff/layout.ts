/** How a page's samples lie in the file; every offset checked. */
export interface TiffLayout {
  readonly widthPx: number;
  readonly heightPx: number;
  readonly channels: number;
  readonly bits: number;
  readonly sampleType: "unsigned" | "signed" | "float";
  readonly compression: "none" | "lzw" | "deflate" | "packbits";
  readonly predictor: 1 | 2 | 3;
  readonly reversedBits: boolean;
  /** Channels in planes of their own instead of interleaved. */
  readonly planar: boolean;
  readonly tiled: boolean;
  /** Strip or tile: its size, and how many make a plane. */
  readonly segmentWidthPx: number;
  readonly segmentHeightPx: number;
  readonly across: number;
  readonly down: number;
  readonly offsets: ArrayLike<number>;
  readonly byteCounts: ArrayLike<number>;
}
