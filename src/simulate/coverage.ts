/** Shares nearer than this to 0 or 1 are rounding. */
const SNAP = 1e-4;

/**
 * Area coverage of polygons, exact but for rounding: each edge leaves in every pixel row the signed area
 * to its right, and a running sum along the row gives the share of each pixel inside.
 */
export class CoverageBuffer {
  private readonly sums: Float32Array;
  private readonly width: number;
  private readonly height: number;

  /** A cleared window of `width` x `height` pixels whose first pixel's outer corner is the origin. */
  constructor(width: number, height: number) {
    this.width = width;
    this.height = height;
    this.sums = new Float32Array((width + 2) * height);
  }

  /** Adds a polygon, `[x, y, x, y, ...]` in window pixels, made to count positive either way round. */
  addPolygon(corners: Float64Array): void {
    let area = 0;
    const n = corners.length;
    for (let i = 0, j = n - 2; i < n; j = i, i += 2) {
      area += corners[j] * corners[i + 1] - corners[i] * corners[j + 1];
    }
    const sign = area >= 0 ? 1 : -1;
    for (let i = 0, j = n - 2; i < n; j = i, i += 2) {
      this.addEdge(corners[j], corners[j + 1], corners[i], corners[i + 1], sign);
    }
  }

  private addEdge(x0: number, y0: number, x1: number, y1: number, sign: number): void {
    if (y0 === y1) return;
    let direction = -sign;
    if (y0 > y1) {
      direction = sign;
      [x0, x1] = [x1, x0];
      [y0, y1] = [y1, y0];
    }
    const slope = (x1 - x0) / (y1 - y0);
    const firstRow = Math.max(0, Math.floor(y0));
    const lastRow = Math.min(this.height - 1, Math.ceil(y1) - 1);
    for (let row = firstRow; row <= lastRow; row++) {
      const top = Math.max(y0, row);
      const bottom = Math.min(y1, row + 1);
      const dy = bottom - top;
      if (dy <= 0) continue;
      this.addSpan(row, x0 + (top - y0) * slope, x0 + (bottom - y0) * slope, direction * dy);
    }
  }

  /** One edge inside one row, from x `a` to `b`, weight `d` (signed height). */
  private addSpan(row: number, a: number, b: number, d: number): void {
    const { sums, width } = this;
    const base = row * (width + 2);
    let left = Math.min(a, b);
    let right = Math.max(a, b);
    if (right <= 0) {
      sums[base] += d;
      return;
    }
    if (left >= width) return;
    if (left < 0 || right > width) {
      // Clip to the window: the part left of it covers whole rows, the part right of it nothing.
      const whole = right - left;
      if (left < 0) {
        sums[base] += (d * -left) / whole;
        d *= right / whole;
        left = 0;
      }
      if (right > width) {
        d *= (width - left) / (right - left);
        right = width;
      }
    }
    const first = Math.floor(left);
    const last = Math.min(width, Math.ceil(right)) - 1;
    if (last <= first) {
      const middle = (left + right) / 2 - first;
      sums[base + first] += d * (1 - middle);
      sums[base + first + 1] += d * middle;
      return;
    }
    const perPixel = d / (right - left);
    let covered = 0;
    for (let x = first; x <= last; x++) {
      const from = Math.max(left, x);
      const to = Math.min(right, x + 1);
      const inside = perPixel * ((to - from) * (x + 1 - (from + to) / 2)) + perPixel * (from - left);
      sums[base + x] += inside - covered;
      covered = inside;
    }
    sums[base + last + 1] += d - covered;
  }

  /**
   * The share of each pixel inside, 0..1, row-major with a stride of `width + 2`; where polygons overlap they
   * count once. The buffer is used up by this.
   */
  takeShares(): Float32Array {
    const { sums, width, height } = this;
    for (let y = 0; y < height; y++) {
      let sum = 0;
      const base = y * (width + 2);
      for (let x = 0; x < width; x++) {
        sum += sums[base + x];
        sums[base + x] = sum < SNAP ? 0 : sum > 1 - SNAP ? 1 : sum;
      }
    }
    return sums;
  }
}
