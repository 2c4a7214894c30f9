// Smallest or largest value under a flat symmetric element, given as a half width for each of its rows. Works on
// 32-bit floats and on bytes.

/** Bytes of a row worked on at a time, so that the scratch lines stay in the cache. */
const BLOCK_BYTES: i32 = 2048;

// Modes: what is compared, and which of two is kept.
const FLOAT_LOWEST: i32 = 0;
const FLOAT_LARGEST: i32 = 1;
const BYTE_LOWEST: i32 = 2;
const BYTE_LARGEST: i32 = 3;

@inline
function kept(p: v128, q: v128, mode: i32): v128 {
  if (mode == FLOAT_LOWEST) return f32x4.pmin(p, q);
  if (mode == FLOAT_LARGEST) return f32x4.pmax(p, q);
  if (mode == BYTE_LOWEST) return i8x16.min_u(p, q);
  return i8x16.max_u(p, q);
}

/** What never wins: stands outside the picture. */
@inline
function neutral(mode: i32): v128 {
  if (mode == FLOAT_LOWEST) return f32x4.splat(Infinity);
  if (mode == FLOAT_LARGEST) return f32x4.splat(-Infinity);
  if (mode == BYTE_LOWEST) return i8x16.splat(-1);
  return i8x16.splat(0);
}

/** into[i] = the kept one of p[i] and q[i], for `bytes` rounded up to 64. */
@inline
function joinLines(p: usize, q: usize, into: usize, bytes: i32, mode: i32): void {
  for (let end = p + bytes; p < end; p += 64) {
    v128.store(into, kept(v128.load(p), v128.load(q), mode));
    v128.store(into, kept(v128.load(p, 16), v128.load(q, 16), mode), 16);
    v128.store(into, kept(v128.load(p, 32), v128.load(q, 32), mode), 32);
    v128.store(into, kept(v128.load(p, 48), v128.load(q, 48), mode), 48);
    q += 64;
    into += 64;
  }
}

/** Copies `bytes` of a row from offset `from`, neutral values where the row ends (`rowBytes`) or has not begun. */
@inline
function copyPadded(row: usize, rowBytes: i32, from: i32, bytes: i32, into: usize, mode: i32): void {
  const first = max(0, min(bytes, -from));
  const end = max(first, min(bytes, rowBytes - from));
  if (first > 0) for (let o = 0; o < first; o += 16) v128.store(into + o, neutral(mode));
  memory.copy(into + first, row + from + first, end - first);
  for (let o = end; o < bytes; o += 16) v128.store(into + o, neutral(mode));
}

@inline
function band(
  src: usize, dst: usize, width: i32, rows: i32, radius: i32, halfWidths: usize, distinct: i32, widthOfRow: usize,
  pointers: usize, windows: usize, ring: usize, ringRows: i32, mode: i32,
): void {
  const shift = mode <= FLOAT_LARGEST ? 2 : 0;
  const rowBytes = width << shift;
  const lineBytes = BLOCK_BYTES + ((2 * radius + 16) << shift) + 128;
  const widest = load<i32>(halfWidths + (<usize>(distinct - 1) << 2));
  for (let start = 0; start < rowBytes; start += BLOCK_BYTES) {
    const bytes = min(BLOCK_BYTES, rowBytes - start);
    const needed = bytes + ((2 * widest) << shift);
    for (let y = 0; y < rows + 2 * radius; y++) {
      copyPadded(src + y * rowBytes, rowBytes, start - (widest << shift), needed, windows, mode);
      // Line k of `windows` holds the extreme of 2^k values from each place on; two such overlap to any odd width.
      let step = 1;
      let line = windows;
      const slot = ring + (y & (ringRows - 1)) * distinct * BLOCK_BYTES;
      for (let k = 0; k < distinct; k++) {
        const half = load<i32>(halfWidths + (<usize>k << 2));
        while (2 * step <= 2 * half + 1) {
          joinLines(line, line + (step << shift), line + lineBytes, needed - ((2 * step - 1) << shift), mode);
          line += lineBytes;
          step *= 2;
        }
        const first = line + ((widest - half) << shift);
        const second = line + ((widest + half - step + 1) << shift);
        joinLines(first, second, slot + k * BLOCK_BYTES, bytes, mode);
      }
      if (y < 2 * radius) continue;
      const top = y - 2 * radius;
      for (let j = 0; j <= 2 * radius; j++) {
        const k = load<i32>(widthOfRow + (<usize>j << 2));
        store<u32>(pointers + (<usize>j << 2), ring + (((top + j) & (ringRows - 1)) * distinct + k) * BLOCK_BYTES);
      }
      stackRows(pointers, 2 * radius + 1, dst + top * rowBytes + start, bytes, windows, mode);
    }
  }
}

/** The extreme of `count` rows, place by place. */
@inline
function stackRows(pointers: usize, count: i32, out: usize, bytes: i32, scratch: usize, mode: i32): void {
  for (let o = 0; o < bytes; o += 64) {
    let from = <usize>load<u32>(pointers) + o;
    let a = v128.load(from);
    let b = v128.load(from, 16);
    let c = v128.load(from, 32);
    let d = v128.load(from, 48);
    for (let j = 1; j < count; j++) {
      from = <usize>load<u32>(pointers + (<usize>j << 2)) + o;
      a = kept(a, v128.load(from), mode);
      b = kept(b, v128.load(from, 16), mode);
      c = kept(c, v128.load(from, 32), mode);
      d = kept(d, v128.load(from, 48), mode);
    }
    const whole = o + 64 <= bytes;
    const to = whole ? out + o : scratch;
    v128.store(to, a);
    v128.store(to, b, 16);
    v128.store(to, c, 32);
    v128.store(to, d, 48);
    if (!whole) memory.copy(out + o, scratch, bytes - o);
  }
}

/**
 * @param src `rows + 2 * radius` rows of `width`; rows outside the picture hold neutral values
 * @param halfWidths the element's distinct half widths (i32), `distinct` of them, ascending
 * @param widthOfRow for each element row 0..2 radius the index of its half width (i32)
 * @param pointers scratch for `2 * radius + 1` addresses
 * @param windows scratch for a line of BLOCK_BYTES + 2 radius values for every power of two up to the widest row
 * @param ring scratch for `ringRows * distinct` lines of BLOCK_BYTES; `ringRows` a power of two above 2 radius
 * @param mode 0 smallest float, 1 largest float, 2 smallest byte, 3 largest byte
 */
export function extremeBand(
  src: usize, dst: usize, width: i32, rows: i32, radius: i32, halfWidths: usize, distinct: i32, widthOfRow: usize,
  pointers: usize, windows: usize, ring: usize, ringRows: i32, mode: i32,
): void {
  if (mode == FLOAT_LOWEST) band(src, dst, width, rows, radius, halfWidths, distinct, widthOfRow, pointers, windows, ring, ringRows, FLOAT_LOWEST);
  else if (mode == FLOAT_LARGEST) band(src, dst, width, rows, radius, halfWidths, distinct, widthOfRow, pointers, windows, ring, ringRows, FLOAT_LARGEST);
  else if (mode == BYTE_LOWEST) band(src, dst, width, rows, radius, halfWidths, distinct, widthOfRow, pointers, windows, ring, ringRows, BYTE_LOWEST);
  else band(src, dst, width, rows, radius, halfWidths, distinct, widthOfRow, pointers, windows, ring, ringRows, BYTE_LARGEST);
}
