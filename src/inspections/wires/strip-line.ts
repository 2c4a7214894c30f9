import { quantile } from "../../numeric/order.ts";
import type { Strip } from "./strip.ts";

/** A line is denser (1) or lighter (-1) than what lies on both sides of it. */
export type LineSign = 1 | -1;

const averagedRows = 5;

/** A strip averaged over five rows along it. */
export function smoothRows({ lengthPx, halfWidthPx, data }: Strip): Strip {
  const columns = 2 * halfWidthPx + 1;
  const half = (averagedRows - 1) / 2;
  const out = new Float32Array(data.length);
  for (let t = 0; t < lengthPx; t++) {
    const first = Math.max(0, t - half);
    const last = Math.min(lengthPx - 1, t + half);
    for (let c = 0; c < columns; c++) {
      let sum = 0;
      for (let s = first; s <= last; s++) sum += data[s * columns + c] as number;
      out[t * columns + c] = sum / (last - first + 1);
    }
  }
  return { lengthPx, halfWidthPx, data: out };
}

/** First row and the row after the last of one of `count` equal stretches of a strip. */
export function stretchOf(
  index: number,
  count: number,
  lengthPx: number,
): readonly [from: number, to: number] {
  const from = Math.floor((index * lengthPx) / count);
  return [from, Math.max(from + 1, Math.floor(((index + 1) * lengthPx) / count))];
}

/** Mean over each of `count` equal stretches; rows without a value (NaN) do not count. */
export function stretchMeans(rows: Float32Array, count: number): number[] {
  return Array.from({ length: count }, (_, k) => {
    const [from, to] = stretchOf(k, count, rows.length);
    let sum = 0;
    let seen = 0;
    for (let t = from; t < to; t++) {
      const v = rows[t] as number;
      if (Number.isNaN(v)) continue;
      sum += v;
      seen++;
    }
    return seen ? sum / seen : Number.NaN;
  });
}

/**
 * How far each pixel of a strip stands out against both sides, `flankPx` away: positive on a line, negative on an
 * edge, whose one side is as dense. Columns without both sides have none (-Infinity).
 *
 * @param smooth the strip, averaged along its rows
 */
export function standOut(smooth: Strip, flankPx: number, sign: LineSign = 1): Float32Array {
  const columns = 2 * smooth.halfWidthPx + 1;
  const { data } = smooth;
  const out = new Float32Array(data.length).fill(Number.NEGATIVE_INFINITY);
  for (let t = 0; t < smooth.lengthPx; t++) {
    for (let c = flankPx; c < columns - flankPx; c++) {
      const i = t * columns + c;
      const left = sign * (data[i - flankPx] as number);
      const right = sign * (data[i + flankPx] as number);
      const over = sign * (data[i] as number) - Math.max(left, right);
      if (!Number.isNaN(over)) out[i] = over;
    }
  }
  return out;
}

/** What stands out most in each row, 0 where nothing does. */
export function mostInRow(over: Float32Array, rows: number): Float32Array {
  const columns = over.length / rows;
  const most = new Float32Array(rows);
  for (let t = 0; t < rows; t++) {
    for (let c = 0; c < columns; c++) {
      const v = over[t * columns + c] as number;
      if (v > (most[t] as number)) most[t] = v;
    }
  }
  return most;
}

/** A step aside costs this share of what a line typically gains in a row: lines through noise stay straight. */
const bendShare = 0.3;
/** A row gains no more than this many times what is typical. */
const mostGain = 1.5;

/** What it costs, in the same measure, to cross what is another line's or has no sides. */
const barred = 3;

/**
 * The line through a strip along which `over` sums to most, moving aside by at most one column a row (dynamic
 * programming: Bellman, 1957). Returns the column of each row, from 0.
 *
 * @param reachPx how far from the strip's middle it may lie in each row
 */
export function bestLine(strip: Strip, over: Float32Array, reachPx: (row: number) => number): Int16Array {
  const { lengthPx, halfWidthPx } = strip;
  const columns = 2 * halfWidthPx + 1;
  const reach = Array.from({ length: lengthPx }, (_, t) => Math.min(halfWidthPx, Math.floor(reachPx(t))));
  const gain = new Float64Array(lengthPx * columns).fill(Number.NEGATIVE_INFINITY);
  const from = new Int8Array(lengthPx * columns);
  const typical = quantile(mostInRow(over, lengthPx), 0.5);
  const bend = bendShare * typical;
  for (let t = 0; t < lengthPx; t++) {
    const wide = reach[t] as number;
    for (let c = halfWidthPx - wide; c <= halfWidthPx + wide; c++) {
      // Edges say nothing of where a line runs, and what is far denser than it must not draw it aside.
      const seen = over[t * columns + c] as number;
      const own =
        seen === Number.NEGATIVE_INFINITY
          ? -barred * typical
          : Math.min(mostGain * typical, Math.max(-typical, seen));
      let best = t ? Number.NEGATIVE_INFINITY : 0;
      for (let step = -1; t && step <= 1; step++) {
        if (c + step < 0 || c + step >= columns) continue;
        const g = (gain[(t - 1) * columns + c + step] as number) - (step ? bend : 0);
        if (g > best) {
          best = g;
          from[t * columns + c] = step;
        }
      }
      gain[t * columns + c] = best + own;
    }
  }
  return bridged(traceBack(gain, from, columns), over, leastTelling * typical);
}

/** Rows in which the line stands out by less than this share of what is typical do not tell where it runs. */
const leastTelling = 0.3;

/** The line drawn straight across rows that do not tell where it runs. */
function bridged(line: Int16Array, over: Float32Array, least: number): Int16Array {
  const columns = over.length / line.length;
  const telling: number[] = [];
  line.forEach((c, t) => {
    if ((over[t * columns + c] as number) > least) telling.push(t);
  });
  const out = line.slice();
  for (let k = 1; k < telling.length; k++) {
    const [t0, t1] = [telling[k - 1] as number, telling[k] as number];
    const [c0, c1] = [line[t0] as number, line[t1] as number];
    for (let t = t0 + 1; t < t1; t++) out[t] = Math.round(c0 + ((c1 - c0) * (t - t0)) / (t1 - t0));
  }
  return out;
}

function traceBack(gain: Float64Array, from: Int8Array, columns: number): Int16Array {
  const rows = gain.length / columns;
  const line = new Int16Array(rows);
  const last = gain.subarray((rows - 1) * columns);
  let c = last.indexOf(Math.max(...last));
  for (let t = rows - 1; t >= 0; t--) {
    line[t] = c;
    c += from[t * columns + c] as number;
  }
  return line;
}

/**
 * How far the strip stands above the mean of both sides along a line, row by row. NaN where a side is not in the
 * strip, and where the sides differ by more than `mostUneven`: an edge beside the line.
 */
export function contrastAlong(
  strip: Strip,
  line: Int16Array,
  flankPx: number,
  mostUneven: number,
): Float32Array {
  const columns = 2 * strip.halfWidthPx + 1;
  return Float32Array.from(line, (c, t) => {
    const i = t * columns + c;
    if (c < flankPx || c + flankPx >= columns) return Number.NaN;
    const left = strip.data[i - flankPx] as number;
    const right = strip.data[i + flankPx] as number;
    if (Math.abs(left - right) > mostUneven) return Number.NaN;
    return (strip.data[i] as number) - (left + right) / 2;
  });
}
