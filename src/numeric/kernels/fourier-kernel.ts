import type { KernelEngine } from "./engine.ts";

interface Line {
  readonly reversed: Int32Array;
  readonly twiddles: Float32Array;
}

function lineOf(n: number): Line {
  const reversed = new Int32Array(n);
  const bits = Math.round(Math.log2(n));
  for (let i = 1; i < n; i++) reversed[i] = (reversed[i >> 1] >> 1) | ((i & 1) << (bits - 1));
  const twiddles = new Float32Array(n);
  for (let i = 0; i < n / 2; i++) {
    twiddles[2 * i] = Math.cos((2 * Math.PI * i) / n);
    twiddles[2 * i + 1] = Math.sin((2 * Math.PI * i) / n);
  }
  return { reversed, twiddles };
}

/**
 * Complex two-dimensional transform in place by the SIMD kernel, in 32-bit. Both sides powers of two, 8 or more.
 *
 * @param sign -1 forward, 1 inverse (which divides by the number of values)
 */
export function fourierByKernel(
  engine: KernelEngine,
  re: Float32Array,
  im: Float32Array,
  width: number,
  height: number,
  sign: 1 | -1,
): void {
  const count = width * height;
  const longest = Math.max(width, height);
  const [reversedAt, twiddlesAt, stripAt, reAt, imAt] = engine.layout(
    4 * longest,
    4 * longest,
    64 * longest,
    4 * count,
    4 * count,
  );
  engine.floats(reAt, count).set(re);
  engine.floats(imAt, count).set(im);
  const along = (step: "fourierColumns" | "fourierRows", n: number, across: number) => {
    const { reversed, twiddles } = lineOf(n);
    engine.integers(reversedAt, n).set(reversed);
    engine.floats(twiddlesAt, n).set(twiddles);
    const scale = sign === 1 ? 1 / n : 1;
    engine.run[step](reAt, imAt, n, across, reversedAt, twiddlesAt, sign, scale, stripAt);
  };
  along("fourierRows", width, height);
  along("fourierColumns", height, width);
  re.set(engine.floats(reAt, count));
  im.set(engine.floats(imAt, count));
}
