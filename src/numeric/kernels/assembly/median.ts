// Median of 3 x 3: sort every column of three once, then the median of the largest minimum, the middle of the middles
// and the smallest maximum of three neighbouring columns.

@inline
function low(p: v128, q: v128): v128 {
  return f32x4.pmin(p, q);
}

@inline
function high(p: v128, q: v128): v128 {
  return f32x4.pmax(p, q);
}

@inline
function middle(p: v128, q: v128, r: v128): v128 {
  return high(low(p, q), low(high(p, q), r));
}

@inline
function repeatEnds(line: usize, width: i32): void {
  store<f32>(line - 4, load<f32>(line));
  const end = line + (<usize>width << 2);
  store<f32>(end, load<f32>(end - 4));
}

/**
 * @param src `rows + 2` rows of `width`
 * @param lines scratch for three lines of `lineBytes` each; each points at its first value with room for one before
 */
export function medianBand(src: usize, dst: usize, width: i32, rows: i32, lines: usize, lineBytes: usize): void {
  const rowBytes = <usize>width << 2;
  const smallest = lines;
  const middles = lines + lineBytes;
  const largest = lines + 2 * lineBytes;
  for (let y = 0; y < rows; y++) {
    const above = src + <usize>y * rowBytes;
    for (let x = 0; x < width; x += 4) {
      const o = <usize>x << 2;
      const p = v128.load(above + o);
      const q = v128.load(above + rowBytes + o);
      const r = v128.load(above + 2 * rowBytes + o);
      const less = low(p, q);
      const more = high(p, q);
      v128.store(smallest + o, low(less, r));
      v128.store(middles + o, high(less, low(more, r)));
      v128.store(largest + o, high(more, r));
    }
    repeatEnds(smallest, width);
    repeatEnds(middles, width);
    repeatEnds(largest, width);
    const out = dst + <usize>y * rowBytes;
    for (let x = 0; x < width; x += 4) {
      const o = <usize>x << 2;
      const s = smallest + o;
      const m = middles + o;
      const l = largest + o;
      const bottom = high(high(v128.load(s - 4), v128.load(s)), v128.load(s + 4));
      const centre = middle(v128.load(m - 4), v128.load(m), v128.load(m + 4));
      const top = low(low(v128.load(l - 4), v128.load(l)), v128.load(l + 4));
      v128.store(out + o, middle(bottom, centre, top));
    }
  }
}
