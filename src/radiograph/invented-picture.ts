import type { Picture } from "./picture.ts";

/** A picture from a formula, with photon-like noise of known gain: for tests, never for measurement. */
export interface InventedPicture {
  readonly widthPx: number;
  readonly heightPx: number;
  /** True grey at a pixel. */
  readonly grey: (x: number, y: number) => number;
  /** Noise variance over grey; 0 for none. */
  readonly gain?: number;
  readonly bits?: 8 | 12 | 16;
  /** Rounds to multiples of this. */
  readonly step?: number;
  readonly seed?: number;
  readonly of?: Partial<Picture>;
}

/** Draws it: Gaussian noise from a seeded generator, rounded, limited to 0 and the bits' ceiling. */
export function inventedPicture(of: InventedPicture): Picture {
  const { widthPx, heightPx, grey, gain = 0, bits = 16, step = 1, seed = 1 } = of;
  const normal = normalNumbers(seed);
  const ceiling = Math.floor((2 ** bits - 1) / step) * step;
  const n = widthPx * heightPx;
  const samples = bits === 8 ? new Uint8Array(n) : new Uint16Array(n);
  for (let y = 0; y < heightPx; y++) {
    for (let x = 0; x < widthPx; x++) {
      const truth = grey(x, y);
      const noisy = truth + (gain > 0 ? normal() * Math.sqrt(gain * Math.max(0, truth)) : 0);
      samples[y * widthPx + x] = Math.max(0, Math.min(ceiling, Math.round(noisy / step) * step));
    }
  }
  return {
    format: "tiff",
    widthPx,
    heightPx,
    channels: 1,
    samples,
    bits: bits === 8 ? 8 : 16,
    sampleType: "unsigned",
    photometric: "min-is-black",
    pages: 1,
    page: 0,
    lossy: false,
    notes: [],
    ...of.of,
  };
}

/** Standard normal numbers: a 32-bit mixing generator, twelve uniform numbers summed. */
export function normalNumbers(seed: number): () => number {
  let state = seed >>> 0;
  const uniform = (): number => {
    state = (state + 0x9e3779b9) >>> 0;
    let z = state;
    z = Math.imul(z ^ (z >>> 16), 0x21f0aaad);
    z = Math.imul(z ^ (z >>> 15), 0x735a2d97);
    return ((z ^ (z >>> 15)) >>> 0) / 4294967296;
  };
  return () => {
    let sum = -6;
    for (let k = 0; k < 12; k++) sum += uniform();
    return sum;
  };
}
