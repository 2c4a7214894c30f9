import { join, rootOf } from "./disjoint-sets.ts";
import { assertShape } from "./shape.ts";

/** A connected region with the holes in it. */
export interface SolidComponent {
  /** Pixels, those of its holes and of what lies in them included. */
  readonly areaPx: number;
  /** True when it holds a pixel of the picture's outermost rows or columns. */
  readonly touchesBorder: boolean;
}

/** A picture of small whole numbers, row-major. */
export interface Steps {
  readonly width: number;
  readonly height: number;
  readonly data: Uint8Array;
}

/** Every row cut into runs of pixels that are all selected or all not. */
interface AlternatingRuns {
  readonly end: Int32Array;
  readonly selected: Uint8Array;
  /** Index of the first run of each row; `height + 1` entries. */
  readonly firstOfRow: Int32Array;
}

/**
 * The 8-connected regions of pixels of at least `least`, each with its holes filled: what
 * `connectedRuns(fillHoles(mask), 8)` finds, in the same order, from one pass over the pixels and without drawing
 * a mask.
 */
export function solidComponents(steps: Steps, least: number): SolidComponent[] {
  assertShape(steps);
  const { height } = steps;
  const runs = alternatingRuns(steps, least);
  const parent = joinAlike(runs, height);
  const { end, selected, firstOfRow } = runs;
  const count = parent.length;
  // The first run of a region in raster order is its root; whatever encloses the region stands left of that.
  const touches = new Uint8Array(count);
  for (let y = 0; y < height; y++) {
    const first = firstOfRow[y];
    const last = firstOfRow[y + 1] - 1;
    touches[rootOf(parent, first)] = 1;
    touches[rootOf(parent, last)] = 1;
    if (y > 0 && y < height - 1) continue;
    for (let run = first; run <= last; run++) touches[rootOf(parent, run)] = 1;
  }
  const solidOf = new Int32Array(count).fill(-1);
  const area: number[] = [];
  const border: boolean[] = [];
  for (let y = 0; y < height; y++) {
    let start = 0;
    for (let run = firstOfRow[y]; run < firstOfRow[y + 1]; run++) {
      const root = rootOf(parent, run);
      if (root === run) solidOf[run] = firstSeen(run);
      const solid = solidOf[root];
      if (solid >= 0) area[solid] += end[run] - start;
      start = end[run];
    }
  }
  return area.map((areaPx, i) => ({ areaPx, touchesBorder: border[i] }));

  /** Which solid a region belongs to, met at its first run: -1 for the outside. */
  function firstSeen(run: number): number {
    if (!touches[run]) {
      const around = solidOf[rootOf(parent, run - 1)];
      // A hole belongs to what is left of it, and what lies in a hole to what the hole belongs to.
      if (around >= 0) return around;
    } else if (!selected[run]) return -1;
    area.push(0);
    border.push(touches[run] === 1);
    return area.length - 1;
  }
}

function alternatingRuns({ width, height, data }: Steps, least: number): AlternatingRuns {
  const firstOfRow = new Int32Array(height + 1);
  let end = new Int32Array(16 * height);
  let selected = new Uint8Array(16 * height);
  let count = 0;
  for (let y = 0; y < height; y++) {
    firstOfRow[y] = count;
    if (count + width > end.length) {
      end = longer(end, new Int32Array(2 * end.length + width));
      selected = longer(selected, new Uint8Array(end.length));
    }
    const base = y * width;
    let here = data[base] >= least;
    for (let x = 1; x < width; x++) {
      const next = data[base + x] >= least;
      if (next === here) continue;
      end[count] = x;
      selected[count++] = here ? 1 : 0;
      here = next;
    }
    end[count] = width;
    selected[count++] = here ? 1 : 0;
  }
  firstOfRow[height] = count;
  return { end: end.subarray(0, count), selected: selected.subarray(0, count), firstOfRow };
}

function longer<T extends Int32Array | Uint8Array>(from: T, into: T): T {
  into.set(from);
  return into;
}

/** Joins runs of neighbouring rows: selected ones over edges and corners, the others over edges. */
function joinAlike({ end, selected, firstOfRow }: AlternatingRuns, height: number): Int32Array {
  const parent = new Int32Array(end.length);
  for (let run = 0; run < parent.length; run++) parent[run] = run;
  for (let y = 1; y < height; y++) {
    let above = firstOfRow[y - 1];
    let below = firstOfRow[y];
    const last = firstOfRow[y + 1];
    while (below < last) {
      const alike = selected[above] === selected[below];
      if (alike) join(parent, above, below);
      const step = end[above] - end[below];
      // Both end here: of two pairs of unlike pixels the selected ones touch at the corner.
      if (step === 0 && !alike && below + 1 < last) {
        if (selected[above]) join(parent, above, below + 1);
        else join(parent, above + 1, below);
      }
      if (step <= 0) above++;
      if (step >= 0) below++;
    }
  }
  return parent;
}
