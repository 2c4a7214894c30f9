const BINS = 4096;

/**
 * Quantiles of cell values, from a histogram of 4096 even bins, cells that are no number left out.
 *
 * @param shares each 0..1
 * @returns one value per share, to within a bin (1/4096 of the range); NaN when no cell is a number
 */
export function cellQuantiles(cells: Float32Array, shares: readonly number[]): number[] {
  let low = Number.POSITIVE_INFINITY;
  let high = Number.NEGATIVE_INFINITY;
  for (let i = 0; i < cells.length; i++) {
    const v = cells[i];
    if (v < low) low = v;
    if (v > high) high = v;
  }
  if (!(high >= low)) return shares.map(() => Number.NaN);
  if (high === low) return shares.map(() => low);
  const counts = new Uint32Array(BINS);
  const perGrey = (BINS - 1) / (high - low);
  let total = 0;
  for (let i = 0; i < cells.length; i++) {
    const v = cells[i];
    if (!(v >= low)) continue;
    counts[((v - low) * perGrey + 0.5) | 0]++;
    total++;
  }
  return shares.map((share) => {
    const wanted = Math.max(1, Math.ceil(share * total));
    let below = 0;
    for (let bin = 0; bin < BINS; bin++) {
      below += counts[bin];
      if (below >= wanted) return low + bin / perGrey;
    }
    return high;
  });
}
