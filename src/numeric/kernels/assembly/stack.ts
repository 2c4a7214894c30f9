// Order statistics across many pictures: each step compares and exchanges two of them, sixteen pixels at a time.

/**
 * @param values `count` lines of 16 values
 * @param pairs byte offsets (u32) of the two lines of each comparison: after it the first holds the smaller
 * @param lower, upper byte offsets of the lines that hold the two order statistics once sorted
 * @param share how far towards the upper the result lies
 */
@inline
function sortStack(values: usize, pairs: usize, steps: i32, lower: i32, upper: i32, share: f32, out: usize): void {
  for (let k = 0; k < steps; k++) {
    const p = values + <usize>load<u32>(pairs + (<usize>k << 3));
    const q = values + <usize>load<u32>(pairs + (<usize>k << 3), 4);
    for (let o: usize = 0; o < 64; o += 16) {
      const a = v128.load(p + o);
      const b = v128.load(q + o);
      v128.store(p + o, f32x4.pmin(a, b));
      v128.store(q + o, f32x4.pmax(a, b));
    }
  }
  const shares = f32x4.splat(share);
  for (let o: usize = 0; o < 64; o += 16) {
    const a = v128.load(values + lower + o);
    const b = v128.load(values + upper + o);
    v128.store(out + o, f32x4.add(a, f32x4.mul(shares, f32x4.sub(b, a))));
  }
}

/** `sortStack` over a band: `src` holds `count` rows of `length` values (a multiple of 16). */
export function stackBand(
  src: usize, length: i32, count: i32, values: usize, pairs: usize, steps: i32, lower: i32, upper: i32, share: f32, dst: usize,
): void {
  const rowBytes = <usize>length << 2;
  for (let o: usize = 0; o < rowBytes; o += 64) {
    let from = src + o;
    let to = values;
    for (let k = 0; k < count; k++) {
      v128.store(to, v128.load(from));
      v128.store(to, v128.load(from, 16), 16);
      v128.store(to, v128.load(from, 32), 32);
      v128.store(to, v128.load(from, 48), 48);
      from += rowBytes;
      to += 64;
    }
    sortStack(values, pairs, steps, lower, upper, share, dst + o);
  }
}
