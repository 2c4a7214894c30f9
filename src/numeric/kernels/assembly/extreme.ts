// Smallest or largest value under a flat symmetric element: a width for each row of it.

/** Columns worked on at a time, so that the scratch lines stay in the cache. */
const BLOCK: i32 = 512;

@inline
function extreme(p: v128, q: v128, lowest: bool): v128 {
  return lowest ? f32x4.pmin(p, q) : f32x4.pmax(p, q);
}

/** into[i] = extreme of p[i] and q[i], for `count` values rounded up to four. */
@inline
function joinLines(p: usize, q: usize, into: usize, count: i32, lowest: bool): void {
  for (let i = 0; i < count; i += 4) {
    const o = <usize>i << 2;
    v128.store(into + o, extreme(v128.load(p + o), v128.load(q + o), lowest));
  }
}

/** Copies `count` values of a row from column `x`, `pad` where the picture ends. */
@inline
function copyPadded(row: usize, width: i32, x: i32, count: i32, into: usize, pad: f32): void {
  let i = 0;
  for (; i < count && x + i < 0; i++) store<f32>(into + (<usize>i << 2), pad);
  const inside = min(count, width - x);
  if (inside > i) {
    memory.copy(into + (<usize>i << 2), row + (<usize>(x + i) << 2), <usize>(inside - i) << 2);
    i = inside;
  }
  for (; i < count; i++) store<f32>(into + (<usize>i << 2), pad);
}

/**
 * @param src `rows + 2 * radius` rows of `width`; rows outside the picture hold the neutral value `pad`
 * @param halfWidths for each distinct half width its value (i32), `distinct` of them, ascending
 * @param widthOfRow for each element row 0..2 radius the index of its half width (i32)
 * @param windows scratch for 8 lines of BLOCK + 2 radius + 16 values: extremes of 1, 2, 4, ... values
 * @param ring scratch for `ringRows * distinct` lines of BLOCK values; `ringRows` a power of two above 2 radius
 */
@inline
function band(
  src: usize, dst: usize, width: i32, rows: i32, radius: i32, halfWidths: usize, distinct: i32, widthOfRow: usize,
  windows: usize, ring: usize, ringRows: i32, pad: f32, lowest: bool,
): void {
  const rowBytes = <usize>width << 2;
  const lineBytes = <usize>(BLOCK + 2 * radius + 16) << 2;
  const blockBytes = <usize>BLOCK << 2;
  const widest = load<i32>(halfWidths + (<usize>(distinct - 1) << 2));
  for (let x0 = 0; x0 < width; x0 += BLOCK) {
    const columns = min(BLOCK, width - x0);
    for (let y = 0; y < rows + 2 * radius; y++) {
      const needed = columns + 2 * widest;
      copyPadded(src + <usize>y * rowBytes, width, x0 - widest, needed, windows, pad);
      let step = 1;
      let line = windows;
      let level = 0;
      const slot = ring + <usize>((y & (ringRows - 1)) * distinct) * blockBytes;
      for (let k = 0; k < distinct; k++) {
        const half = load<i32>(halfWidths + (<usize>k << 2));
        const length = 2 * half + 1;
        while (2 * step <= length) {
          const next = windows + <usize>(level + 1) * lineBytes;
          joinLines(line, line + (<usize>step << 2), next, needed - 2 * step + 1, lowest);
          line = next;
          step *= 2;
          level++;
        }
        const first = line + (<usize>(widest - half) << 2);
        const second = line + (<usize>(widest + half - step + 1) << 2);
        joinLines(first, second, slot + <usize>k * blockBytes, columns, lowest);
      }
      if (y < 2 * radius) continue;
      const top = y - 2 * radius;
      const out = dst + <usize>top * rowBytes + (<usize>x0 << 2);
      for (let x = 0; x < columns; x += 8) {
        const o = <usize>x << 2;
        let p = f32x4.splat(pad);
        let q = p;
        for (let j = 0; j <= 2 * radius; j++) {
          const k = load<i32>(widthOfRow + (<usize>j << 2));
          const from = ring + <usize>(((top + j) & (ringRows - 1)) * distinct + k) * blockBytes + o;
          p = extreme(p, v128.load(from), lowest);
          q = extreme(q, v128.load(from, 16), lowest);
        }
        if (x + 8 <= columns) {
          v128.store(out + o, p);
          v128.store(out + o, q, 16);
        } else {
          v128.store(windows, p);
          v128.store(windows, q, 16);
          memory.copy(out + o, windows, <usize>(columns - x) << 2);
        }
      }
    }
  }
}

export function extremeBand(
  src: usize, dst: usize, width: i32, rows: i32, radius: i32, halfWidths: usize, distinct: i32, widthOfRow: usize,
  windows: usize, ring: usize, ringRows: i32, pad: f32, lowest: bool,
): void {
  if (lowest) band(src, dst, width, rows, radius, halfWidths, distinct, widthOfRow, windows, ring, ringRows, pad, true);
  else band(src, dst, width, rows, radius, halfWidths, distinct, widthOfRow, windows, ring, ringRows, pad, false);
}
