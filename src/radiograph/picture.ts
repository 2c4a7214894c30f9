/** Sample arrays a reader may hand over. */
export type Samples =
  | Uint8Array
  | Uint16Array
  | Uint32Array
  | Int8Array
  | Int16Array
  | Int32Array
  | Float32Array
  | Float64Array;

/**
 * A picture as a file holds it: decoded samples, nothing judged yet.
 *
 * `samples` is row-major, `widthPx * heightPx * channels` long, channels interleaved,
 * in the sample values stored (never rescaled, never inverted).
 */
export interface Picture {
  /** Registry id of the reader: "tiff", "png", "jpeg". */
  readonly format: string;
  readonly widthPx: number;
  readonly heightPx: number;
  readonly channels: number;
  readonly samples: Samples;
  /** Bits per sample in the file (8, 10, 12, 16, 32, ...). */
  readonly bits: number;
  readonly sampleType: "unsigned" | "signed" | "float";
  /** What the file says: "min-is-white" means a larger sample is shown darker. */
  readonly photometric: "min-is-black" | "min-is-white" | "colour" | "palette";
  /** Colours of a palette picture: red, green, blue interleaved, 0 .. 65535; the samples are its indexes. */
  readonly palette?: Uint16Array;
  /** Pages (or frames) in the file, and the one read (from 0). */
  readonly pages: number;
  readonly page: number;
  /** True when the coding lost information (JPEG). */
  readonly lossy: boolean;
  /** Pixel pitch that a resolution tag claims. Never trusted without a person's word. */
  readonly taggedPitch?: { readonly umPerPxX: number; readonly umPerPxY: number; readonly source: string };
  /** Things an inspector should know: "page 1 of 2 was read", "alpha channel ignored". */
  readonly notes: readonly string[];
}
