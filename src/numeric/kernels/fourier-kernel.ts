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
  const [reversedAt, twiddlesAt, stripAt, reAt, imAt, turnedAt] = engine.layout(
    4 * longest,
    4 * longest,
    64 * longest,
    4 * count,
    4 * count,
    4 * count,
  );
  engine.floats(reAt, count).set(re);
  engine.floats(imAt, count).set(im);
  const columns = (p: number, q: number, n: number, across: number) => {
    const { reversed, twiddles } = lineOf(n);
    engine.integers(reversedAt, n).set(reversed);
    engine.floats(twiddlesAt, n).set(twiddles);
    engine.run.fourierColumns(p, q, n, across, reversedAt, twiddlesAt, sign, sign === 1 ? 1 / n : 1, stripAt);
  };
  columns(reAt, imAt, height, width);
  // Three buffers serve two transposes: re goes to the spare one, im to where re was.
  engine.run.transposeBlock(reAt, turnedAt, width, height);
  engine.run.transposeBlock(imAt, reAt, width, height);
  columns(turnedAt, reAt, width, height);
  engine.run.transposeBlock(reAt, imAt, height, width);
  engine.run.transposeBlock(turnedAt, reAt, height, width);
  re.set(engine.floats(reAt, count));
  im.set(engine.floats(imAt, count));
}
