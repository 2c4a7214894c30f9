// Area mean of square cells: one row of cells at a time.

/**
 * @param src `cellRows` rows of `width` values
 * @param line scratch for `width` values
 * @param dst `ceil(width / factor)` means
 */
export function reduceRow(src: usize, line: usize, dst: usize, width: i32, cellRows: i32, factor: i32): void {
  const rowBytes = <usize>width << 2;
  for (let x = 0; x < width; x += 4) {
    let from = src + (<usize>x << 2);
    let sum = v128.load(from);
    for (let y = 1; y < cellRows; y++) {
      from += rowBytes;
      sum = f32x4.add(sum, v128.load(from));
    }
    v128.store(line + (<usize>x << 2), sum);
  }
  const whole = width / factor;
  const share: f32 = 1 / <f32>(cellRows * factor);
  let cell = 0;
  if (factor == 2) {
    const shares = f32x4.splat(share);
    for (; cell + 4 <= whole; cell += 4) {
      const from = line + (<usize>cell << 3);
      const p = v128.load(from);
      const q = v128.load(from, 16);
      const even = v128.shuffle<i32>(p, q, 0, 2, 4, 6);
      const odd = v128.shuffle<i32>(p, q, 1, 3, 5, 7);
      v128.store(dst + (<usize>cell << 2), f32x4.mul(f32x4.add(even, odd), shares));
    }
  }
  for (; cell < whole; cell++) {
    const from = line + (<usize>(cell * factor) << 2);
    let sum: f32 = 0;
    for (let k = 0; k < factor; k++) sum += load<f32>(from + (<usize>k << 2));
    store<f32>(dst + (<usize>cell << 2), sum * share);
  }
  const left = width - whole * factor;
  if (left > 0) {
    let sum: f32 = 0;
    for (let x = width - left; x < width; x++) sum += load<f32>(line + (<usize>x << 2));
    store<f32>(dst + (<usize>whole << 2), sum / <f32>(cellRows * left));
  }
}
