// out(x, y) = image(map(x, y)), bilinear.

/** First x from which `slope * x + start` is at least 0 and below `limit`, as far as division tells. */
@inline
function firstInside(slope: f64, start: f64, limit: f64, width: i32): i32 {
  let x: f64 = 0;
  if (slope > 0) x = Math.ceil(-start / slope);
  else if (slope < 0) x = Math.floor((limit - start) / slope) + 1;
  return x <= 0 ? 0 : x >= <f64>width ? width : <i32>x;
}

/** The x before which that still holds. */
@inline
function endInside(slope: f64, start: f64, limit: f64, width: i32): i32 {
  let x = <f64>width;
  if (slope > 0) x = Math.ceil((limit - start) / slope);
  else if (slope < 0) x = Math.floor(-start / slope) + 1;
  else if (!(start >= 0 && start < limit)) x = 0;
  return x <= 0 ? 0 : x >= <f64>width ? width : <i32>x;
}

/** One value by the full rule: the last row and column count as inside. */
@inline
function sample(src: usize, width: i32, height: i32, x: f64, y: f64, fill: f32): f32 {
  if (!(x >= 0 && y >= 0 && x <= <f64>(width - 1) && y <= <f64>(height - 1))) return fill;
  const x0 = min(<i32>x, width - 2);
  const y0 = min(<i32>y, height - 2);
  const u = <f32>(x - <f64>x0);
  const v = <f32>(y - <f64>y0);
  const p = src + (<usize>(y0 * width + x0) << 2);
  const q = p + (<usize>width << 2);
  const upper = load<f32>(p) + u * (load<f32>(p, 4) - load<f32>(p));
  const lower = load<f32>(q) + u * (load<f32>(q, 4) - load<f32>(q));
  return upper + v * (lower - upper);
}

/** Whole part of four numbers in 0..2^22 that are whole already. */
@inline
function toInteger(whole: v128): v128 {
  return v128.and(f32x4.add(whole, f32x4.splat(8388608)), i32x4.splat(0x7fffff));
}

/** Left neighbours (lanes 0, 2) and right ones (1, 3) of two places, in one register. */
@inline
function twoPairs(p: usize, q: usize): v128 {
  return v128.load64_lane(q, v128.load64_zero(p), 1);
}

/**
 * @param src the whole picture, at least 2 x 2
 * @param dst `rows` output rows of `outWidth`, the first being output row `y0`
 */
export function warpBand(
  src: usize, width: i32, height: i32, dst: usize, outWidth: i32, y0: i32, rows: i32,
  a: f64, b: f64, c: f64, d: f64, e: f64, f: f64, fill: f32,
): void {
  const limitX = <f64>(width - 1);
  const limitY = <f64>(height - 1);
  const rowBytes = <usize>width << 2;
  const widths = i32x4.splat(width);
  const lane = f32x4(0, 1, 2, 3);
  const stepX = f32x4.splat(<f32>a);
  const stepY = f32x4.splat(<f32>d);
  for (let y = y0; y < y0 + rows; y++) {
    const startX = b * <f64>y + c;
    const startY = e * <f64>y + f;
    const out = dst + (<usize>((y - y0) * outWidth) << 2);
    let from = max(firstInside(a, startX, limitX, outWidth), firstInside(d, startY, limitY, outWidth));
    let to = min(endInside(a, startX, limitX, outWidth), endInside(d, startY, limitY, outWidth));
    // Division may be off by one: both ends must truly be inside; between them all are.
    while (from < to && !inside(a, startX, d, startY, from, limitX, limitY)) from++;
    while (from < to && !inside(a, startX, d, startY, to - 1, limitX, limitY)) to--;
    if (from > to) from = to;
    for (let x = 0; x < from; x++) {
      store<f32>(out + (<usize>x << 2), sample(src, width, height, a * <f64>x + startX, d * <f64>x + startY, fill));
    }
    let x = from;
    while (x + 4 <= to) {
      // Sixteen at a time about a whole-pixel origin: 32-bit fractions stay good to a few millionths of a pixel.
      const end = x + (min(16, to - x) & ~3);
      const firstX = a * <f64>x + startX;
      const firstY = d * <f64>x + startY;
      const originX = <i32>Math.floor(Math.min(firstX, a * <f64>(end - 1) + startX));
      const originY = <i32>Math.floor(Math.min(firstY, d * <f64>(end - 1) + startY));
      const fromX = f32x4.splat(<f32>(firstX - <f64>originX));
      const fromY = f32x4.splat(<f32>(firstY - <f64>originY));
      const mostX = f32x4.splat(<f32>(width - 2 - originX));
      const mostY = f32x4.splat(<f32>(height - 2 - originY));
      const base = src + (<usize>(originY * width + originX) << 2);
      let k = lane;
      for (; x < end; x += 4) {
        const sx = f32x4.pmax(f32x4.splat(0), f32x4.add(fromX, f32x4.mul(k, stepX)));
        const sy = f32x4.pmax(f32x4.splat(0), f32x4.add(fromY, f32x4.mul(k, stepY)));
        k = f32x4.add(k, f32x4.splat(4));
        const wholeX = f32x4.pmin(mostX, f32x4.floor(sx));
        const wholeY = f32x4.pmin(mostY, f32x4.floor(sy));
        const u = f32x4.sub(sx, wholeX);
        const v = f32x4.sub(sy, wholeY);
        const at = i32x4.shl(i32x4.add(i32x4.mul(toInteger(wholeY), widths), toInteger(wholeX)), 2);
        const p0 = base + <usize>i32x4.extract_lane(at, 0);
        const p1 = base + <usize>i32x4.extract_lane(at, 1);
        const p2 = base + <usize>i32x4.extract_lane(at, 2);
        const p3 = base + <usize>i32x4.extract_lane(at, 3);
        const upperA = twoPairs(p0, p1);
        const upperB = twoPairs(p2, p3);
        const lowerA = twoPairs(p0 + rowBytes, p1 + rowBytes);
        const lowerB = twoPairs(p2 + rowBytes, p3 + rowBytes);
        const upperLeft = v128.shuffle<i32>(upperA, upperB, 0, 2, 4, 6);
        const upperRight = v128.shuffle<i32>(upperA, upperB, 1, 3, 5, 7);
        const lowerLeft = v128.shuffle<i32>(lowerA, lowerB, 0, 2, 4, 6);
        const lowerRight = v128.shuffle<i32>(lowerA, lowerB, 1, 3, 5, 7);
        const upper = f32x4.add(upperLeft, f32x4.mul(u, f32x4.sub(upperRight, upperLeft)));
        const lower = f32x4.add(lowerLeft, f32x4.mul(u, f32x4.sub(lowerRight, lowerLeft)));
        v128.store(out + (<usize>x << 2), f32x4.add(upper, f32x4.mul(v, f32x4.sub(lower, upper))));
      }
    }
    for (; x < outWidth; x++) {
      store<f32>(out + (<usize>x << 2), sample(src, width, height, a * <f64>x + startX, d * <f64>x + startY, fill));
    }
  }
}

@inline
function inside(a: f64, startX: f64, d: f64, startY: f64, x: i32, limitX: f64, limitY: f64): bool {
  const sx = a * <f64>x + startX;
  const sy = d * <f64>x + startY;
  return sx >= 0 && sy >= 0 && sx < limitX && sy < limitY;
}
