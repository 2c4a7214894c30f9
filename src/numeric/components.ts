import { join, rootOf } from "./disjoint-sets.ts";
import { ShapeError } from "./errors.ts";
import type { BoxPx, Mask, PointPx } from "./image.ts";
import { assertShape } from "./shape.ts";

/** A connected region of a mask. */
export interface Component {
  /** Its value in the label picture, from 1. */
  readonly label: number;
  readonly areaPx: number;
  readonly boxPx: BoxPx;
  readonly centroidPx: PointPx;
  /** True when it holds a pixel of the picture's outermost rows or columns. */
  readonly touchesBorder: boolean;
}

interface Runs {
  /** Row, first column and one past the last column of every run of selected pixels, in raster order. */
  readonly row: Int32Array;
  readonly start: Int32Array;
  readonly end: Int32Array;
  /** Index of the first run of each row; `height + 1` entries. */
  readonly firstOfRow: Int32Array;
}

function findRuns({ width, height, data }: Mask, selected: boolean): Runs {
  const firstOfRow = new Int32Array(height + 1);
  // Selected and unselected pixels alternate: at most half of a row begin a run.
  const mostInRow = (width + 1) >> 1;
  let row = new Int32Array(4 * height + mostInRow);
  let start = new Int32Array(row.length);
  let end = new Int32Array(row.length);
  let run = 0;
  for (let y = 0; y < height; y++) {
    firstOfRow[y] = run;
    if (run + mostInRow > row.length) {
      const length = 2 * row.length + mostInRow;
      row = longer(row, length);
      start = longer(start, length);
      end = longer(end, length);
    }
    const base = y * width;
    for (let x = 0; x < width; x++) {
      if ((data[base + x] !== 0) !== selected) continue;
      row[run] = y;
      start[run] = x++;
      while (x < width && (data[base + x] !== 0) === selected) x++;
      end[run++] = x;
    }
  }
  firstOfRow[height] = run;
  return { row: row.subarray(0, run), start: start.subarray(0, run), end: end.subarray(0, run), firstOfRow };
}

function longer(from: Int32Array, length: number): Int32Array<ArrayBuffer> {
  const into = new Int32Array(length);
  into.set(from);
  return into;
}

/** Joins runs of neighbouring rows that touch; the earlier run becomes the root, so roots stand in raster order. */
function joinRuns(runs: Runs, height: number, connectivity: 4 | 8): Int32Array {
  const parent = new Int32Array(runs.row.length);
  for (let run = 0; run < parent.length; run++) parent[run] = run;
  const reach = connectivity === 8 ? 1 : 0;
  for (let y = 1; y < height; y++) {
    let above = runs.firstOfRow[y - 1];
    const aboveEnd = runs.firstOfRow[y];
    for (let run = runs.firstOfRow[y]; run < runs.firstOfRow[y + 1]; run++) {
      while (above < aboveEnd && runs.end[above] + reach <= runs.start[run]) above++;
      for (let k = above; k < aboveEnd && runs.start[k] < runs.end[run] + reach; k++) {
        join(parent, k, run);
      }
    }
  }
  return parent;
}

/** The connected components of a mask as runs: what is known of them before any picture of labels is drawn. */
export interface ConnectedRuns {
  readonly components: readonly Component[];
  /** Per run, in raster order: row, first column, one past the last column, label. */
  readonly row: Int32Array;
  readonly start: Int32Array;
  readonly end: Int32Array;
  readonly label: Int32Array;
}

/**
 * Connected components of a mask as runs, numbered from 1 in raster order of their first pixel.
 *
 * @param selected false for the components of the unselected pixels
 * @throws ShapeError for a connectivity other than 4 or 8
 */
export function connectedRuns(mask: Mask, connectivity: 4 | 8, selected = true): ConnectedRuns {
  assertShape(mask);
  if (connectivity !== 4 && connectivity !== 8)
    throw new ShapeError("connectivity 4 or 8", String(connectivity));
  const { width, height } = mask;
  const runs = findRuns(mask, selected);
  const parent = joinRuns(runs, height, connectivity);
  const runCount = parent.length;
  const label = new Int32Array(runCount);
  let count = 0;
  for (let run = 0; run < runCount; run++) {
    const root = rootOf(parent, run);
    label[run] = root === run ? ++count : label[root];
  }
  const area = new Float64Array(count);
  const sumX = new Float64Array(count);
  const sumY = new Float64Array(count);
  const left = new Int32Array(count).fill(width);
  const right = new Int32Array(count).fill(-1);
  const top = new Int32Array(count).fill(height);
  const bottom = new Int32Array(count).fill(-1);
  for (let run = 0; run < runCount; run++) {
    const k = label[run] - 1;
    const y = runs.row[run];
    const start = runs.start[run];
    const end = runs.end[run];
    const length = end - start;
    area[k] += length;
    sumX[k] += (length * (start + end - 1)) / 2;
    sumY[k] += length * y;
    if (start < left[k]) left[k] = start;
    if (end - 1 > right[k]) right[k] = end - 1;
    if (y < top[k]) top[k] = y;
    if (y > bottom[k]) bottom[k] = y;
  }
  const components: Component[] = [];
  for (let k = 0; k < count; k++) {
    components.push({
      label: k + 1,
      areaPx: area[k],
      boxPx: [left[k], top[k], right[k] - left[k] + 1, bottom[k] - top[k] + 1],
      centroidPx: [sumX[k] / area[k], sumY[k] / area[k]],
      touchesBorder: left[k] === 0 || top[k] === 0 || right[k] === width - 1 || bottom[k] === height - 1,
    });
  }
  return { components, row: runs.row, start: runs.start, end: runs.end, label };
}

/**
 * Connected components of a mask, numbered from 1 in raster order of their first pixel.
 *
 * @returns `labels` row-major (0 where nothing is selected) and one `Component` per label, `components[label - 1]`
 * @throws ShapeError for a connectivity other than 4 or 8
 */
export function labelComponents(
  mask: Mask,
  connectivity: 4 | 8,
): { readonly labels: Int32Array; readonly components: readonly Component[] } {
  const { components, row, start, end, label } = connectedRuns(mask, connectivity);
  const labels = new Int32Array(mask.width * mask.height);
  for (let run = 0; run < row.length; run++) {
    const base = row[run] * mask.width;
    labels.fill(label[run], base + start[run], base + end[run]);
  }
  return { labels, components };
}
