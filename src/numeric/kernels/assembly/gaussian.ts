// Separable symmetric filter: down the columns of a band, then along the row.

@inline
function scaled(p: usize, offset: usize, tap: v128): v128 {
  return f32x4.mul(v128.load(p + offset), tap);
}

@inline
function pair(sum: v128, tap: v128, p: usize, q: usize): v128 {
  return f32x4.add(sum, f32x4.mul(tap, f32x4.add(v128.load(p), v128.load(q))));
}

/** Weighted sum of 16 neighbouring values, `taps[j]` on both neighbours `j * step` bytes away. */
@inline
function filterSixteen(from: usize, step: usize, taps: usize, radius: i32, into: usize): void {
  const centre = v128.load32_splat(taps);
  let a = scaled(from, 0, centre);
  let b = scaled(from, 16, centre);
  let c = scaled(from, 32, centre);
  let d = scaled(from, 48, centre);
  let before = from;
  let after = from;
  for (let j = 1; j <= radius; j++) {
    const tap = v128.load32_splat(taps + (<usize>j << 2));
    before -= step;
    after += step;
    a = pair(a, tap, before, after);
    b = pair(b, tap, before + 16, after + 16);
    c = pair(c, tap, before + 32, after + 32);
    d = pair(d, tap, before + 48, after + 48);
  }
  v128.store(into, a);
  v128.store(into, b, 16);
  v128.store(into, c, 32);
  v128.store(into, d, 48);
}

/** Columns filtered at a time, so that the rows of a tall kernel stay in the first-level cache. */
const BLOCK: i32 = 128;

/** Largest radius at which a whole row is filtered at once: the rows it needs then stay in the second-level cache. */
const SMALL_RADIUS: i32 = 8;

/** Down the columns for columns `from` up to `end`, rounded up to 16. */
@inline
function filterDown(centreRow: usize, rowBytes: usize, taps: usize, radius: i32, into: usize, from: i32, end: i32): void {
  for (let x = from; x < end; x += 16) {
    const o = <usize>x << 2;
    filterSixteen(centreRow + o, rowBytes, taps, radius, into + o);
  }
}

/** Repeats the line's ends `radius` times. */
@inline
function repeatEnds(line: usize, end: usize, radius: i32): void {
  const first = load<f32>(line);
  const last = load<f32>(end - 4);
  for (let j = 1; j <= radius; j++) {
    store<f32>(line - (<usize>j << 2), first);
    store<f32>(end + (<usize>(j - 1) << 2), last);
  }
}

/**
 * @param src `rows + 2 * radius` rows of `width` values, `radius` above the first output row
 * @param filtered scratch for `rows` rows of `width` rounded up to 16 values
 * @param line scratch for `width` values with `radius` more on both sides (points at the first value)
 */
export function gaussianBand(src: usize, filtered: usize, line: usize, dst: usize, width: i32, rows: i32, taps: usize, radius: i32): void {
  const rowBytes = <usize>width << 2;
  const stride = <usize>((width + 15) & ~15) << 2;
  const blocked = radius > SMALL_RADIUS;
  if (blocked) {
    for (let start = 0; start < width; start += BLOCK) {
      const end = min(start + BLOCK, width);
      for (let y = 0; y < rows; y++) {
        filterDown(src + <usize>(y + radius) * rowBytes, rowBytes, taps, radius, filtered + <usize>y * stride, start, end);
      }
    }
  }
  for (let y = 0; y < rows; y++) {
    if (blocked) memory.copy(line, filtered + <usize>y * stride, rowBytes);
    else filterDown(src + <usize>(y + radius) * rowBytes, rowBytes, taps, radius, line, 0, width);
    repeatEnds(line, line + rowBytes, radius);
    const out = dst + <usize>y * rowBytes;
    for (let x = 0; x < width; x += 16) {
      const o = <usize>x << 2;
      filterSixteen(line + o, 4, taps, radius, out + o);
    }
  }
}
