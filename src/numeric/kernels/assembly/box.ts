// Mean and variance of a square window by running sums in 64-bit.

/** Adds (or takes away) a row and its squares, about `offset`, to the column sums. */
@inline
function changeColumns(row: usize, sums: usize, squares: usize, width: i32, offset: v128, adding: bool): void {
  for (let x = 0; x < width; x += 2) {
    const value = f64x2.sub(f64x2.promote_low_f32x4(v128.load64_zero(row + (<usize>x << 2))), offset);
    const o = <usize>x << 3;
    const sum = v128.load(sums + o);
    v128.store(sums + o, adding ? f64x2.add(sum, value) : f64x2.sub(sum, value));
    if (squares != 0) {
      const square = f64x2.mul(value, value);
      const total = v128.load(squares + o);
      v128.store(squares + o, adding ? f64x2.add(total, square) : f64x2.sub(total, square));
    }
  }
}

/** Repeats the first and last of `width` sums `radius` (and one more) times on either side. */
@inline
function repeatEnds(sums: usize, width: i32, radius: i32): void {
  const first = load<f64>(sums);
  const end = sums + (<usize>width << 3);
  const last = load<f64>(end - 8);
  for (let j = 1; j <= radius; j++) store<f64>(sums - (<usize>j << 3), first);
  for (let j = 0; j <= radius; j++) store<f64>(end + (<usize>j << 3), last);
}

/** Running sum of `2 * radius + 1` values of `sums` into `into`. */
@inline
function runAlong(sums: usize, into: usize, width: i32, radius: i32): void {
  let sum: f64 = 0;
  for (let j = -radius; j <= radius; j++) sum += load<f64>(sums + (<usize>j << 3));
  const ahead = sums + (<usize>(radius + 1) << 3);
  const behind = sums - (<usize>radius << 3);
  for (let x = 0; x < width; x++) {
    const o = <usize>x << 3;
    store<f64>(into + o, sum);
    sum += load<f64>(ahead + o) - load<f64>(behind + o);
  }
}

/**
 * @param src `rows + 2 * radius` rows; with `first` the column sums start from its first `2 * radius` rows, else they
 *   carry on from the band above
 * @param columns, columnSquares 64-bit sums with `radius + 1` spare on both sides (points at the first);
 *   `columnSquares` is 0 when no variance is wanted
 * @param runs, runSquares scratch for `width` 64-bit values each
 */
export function boxBand(
  src: usize, columns: usize, columnSquares: usize, runs: usize, runSquares: usize, mean: usize, variance: usize,
  width: i32, rows: i32, radius: i32, first: bool, offset: f64,
): void {
  const rowBytes = <usize>width << 2;
  const share = f64x2.splat(1.0 / (<f64>(2 * radius + 1) * <f64>(2 * radius + 1)));
  const about = f64x2.splat(offset);
  const zero = f64x2.splat(0);
  if (first) {
    memory.fill(columns, 0, <usize>(width + 1) << 3);
    if (columnSquares != 0) memory.fill(columnSquares, 0, <usize>(width + 1) << 3);
    for (let k = 0; k < 2 * radius; k++) changeColumns(src + <usize>k * rowBytes, columns, columnSquares, width, about, true);
  }
  for (let y = 0; y < rows; y++) {
    changeColumns(src + <usize>(y + 2 * radius) * rowBytes, columns, columnSquares, width, about, true);
    repeatEnds(columns, width, radius);
    runAlong(columns, runs, width, radius);
    const out = <usize>y * rowBytes;
    if (columnSquares != 0) {
      repeatEnds(columnSquares, width, radius);
      runAlong(columnSquares, runSquares, width, radius);
      for (let x = 0; x < width; x += 2) {
        const o = <usize>x << 3;
        const m = f64x2.mul(v128.load(runs + o), share);
        const v = f64x2.sub(f64x2.mul(v128.load(runSquares + o), share), f64x2.mul(m, m));
        const at = out + (<usize>x << 2);
        v128.store64_lane(mean + at, f32x4.demote_f64x2_zero(f64x2.add(m, about)), 0);
        v128.store64_lane(variance + at, f32x4.demote_f64x2_zero(f64x2.pmax(zero, v)), 0);
      }
    } else {
      for (let x = 0; x < width; x += 2) {
        const m = f64x2.mul(v128.load(runs + (<usize>x << 3)), share);
        v128.store64_lane(mean + out + (<usize>x << 2), f32x4.demote_f64x2_zero(f64x2.add(m, about)), 0);
      }
    }
    changeColumns(src + <usize>y * rowBytes, columns, columnSquares, width, about, false);
  }
}
