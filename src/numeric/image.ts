/** A single-channel picture of real numbers, row-major, `width * height` long. Pixel centres are at integers. */
export interface Image {
  readonly width: number;
  readonly height: number;
  readonly data: Float32Array;
}

/** A selection of pixels: 1 selected, 0 not; row-major, `width * height` long. */
export interface Mask {
  readonly width: number;
  readonly height: number;
  readonly data: Uint8Array;
}

/** A point in pixel coordinates: x right, y down, the top-left pixel's centre at 0,0. */
export type PointPx = readonly [x: number, y: number];

/** An upright box `[x, y, width, height]` in pixels. */
export type BoxPx = readonly [x: number, y: number, width: number, height: number];

/** A new image of zeros. */
export function createImage(width: number, height: number): Image {
  return { width, height, data: new Float32Array(width * height) };
}

/** A new mask with nothing selected. */
export function createMask(width: number, height: number): Mask {
  return { width, height, data: new Uint8Array(width * height) };
}
