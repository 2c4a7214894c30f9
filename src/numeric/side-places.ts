const agreePx = 0.8;
/** Turns are tried this far apart at the ends of the longest side: well within what agrees. */
const turnStepPx = 0.2;

/** A stretch over which one profile is still within the rectangle, px: `along` the side, `from` and `to` outwards. */
export interface Run {
  readonly along: number;
  readonly from: number;
  readonly to: number;
}

/** Where profiles across one side of a rectangle found an edge: `along` the side and `out` from its start, px. */
export interface SidePoints {
  readonly along: Float64Array;
  readonly out: Float64Array;
  readonly profiles: number;
  readonly runs: readonly Run[];
  /** Working space: the points' places in rising order at the turn tried last, and which point stands where. */
  readonly places: Float64Array;
  readonly order: Int32Array;
}

/** The turn (rad) at which most profiles of all four sides agree on straight lines. */
export function commonTurn(sides: readonly SidePoints[], turnRad: number): number {
  const tries = Math.ceil((turnRad * longestReachPx(sides)) / turnStepPx) + 2;
  let best = 0;
  let bestVotes = -1;
  for (let i = -tries; i <= tries; i++) {
    const turn = (turnRad * i) / tries;
    let votes = 0;
    for (const side of sides) votes += densestPlace(side, turn)?.votes ?? 0;
    if (votes > bestVotes + 1e-9 || (votes > bestVotes - 1e-9 && Math.abs(turn) < Math.abs(best))) {
      bestVotes = votes;
      best = turn;
    }
  }
  return refineTurn(sides, best);
}

/** Half the longest side: how far a turn's end moves for each radian. */
function longestReachPx(sides: readonly SidePoints[]): number {
  let reach = 0;
  for (const { along } of sides) for (const t of along) if (Math.abs(t) > reach) reach = Math.abs(t);
  return reach;
}

/** One least-squares step of the turn over the agreeing profiles, all sides pooled. */
function refineTurn(sides: readonly SidePoints[], turn: number): number {
  let sxx = 0;
  let sxy = 0;
  for (const side of sides) {
    const place = densestPlace(side, turn);
    if (!place) continue;
    let n = 0;
    let mx = 0;
    let my = 0;
    for (let pass = 0; pass < 2; pass++) {
      for (let i = 0; i < side.along.length; i++) {
        const x = side.along[i] as number;
        const residual = (side.out[i] as number) - turn * x;
        if (Math.abs(residual - place.offset) > agreePx) continue;
        if (pass === 0) {
          n++;
          mx += x;
          my += residual;
        } else {
          sxx += (x - mx) * (x - mx);
          sxy += (x - mx) * (residual - my);
        }
      }
      if (pass === 0 && n > 0) {
        mx /= n;
        my /= n;
      }
    }
  }
  return sxx > 0 ? turn + sxy / sxx : turn;
}

/** Where most profiles lie once the turn is taken out: a window of 2 * agreePx slid over the sorted places. */
function densestPlace(side: SidePoints, turn: number) {
  if (side.out.length < 3) return null;
  const places = placesInOrder(side, turn);
  const { first, count } = densestWindow(places, 0, places.length);
  const { mean, rms } = within(places, first, count);
  // Votes reward tight agreement, so that a slanted line does not win by filling the window.
  return { offset: mean, rms, votes: count * (1 - rms / (2 * agreePx)) };
}

/** Places nearly as well held as the best compete with it for being the side. */
const nearlyAsMany = 0.85;

/** A line across the profiles of one side. */
interface SidePlace {
  readonly offset: number;
  readonly agreeing: number;
  readonly rms: number;
  /** Profiles that agree, less those that run on across it. */
  readonly held: number;
  /** Where along the side the agreeing profiles stand. */
  readonly alongPx: readonly number[];
}

/** Densest places that are weighed against each other as one side. */
const mostPlaces = 6;

/**
 * The side: the place that most profiles agree on, those taken off that run on across it within the rectangle (a row
 * of bonds stands on the die: between them the die goes on). Of two held nearly as well the outer is the side.
 */
export function sidePlace(side: SidePoints, turn: number): SidePlace | null {
  if (side.out.length < 3) return null;
  const places = placesInOrder(side, turn);
  const stretches: [number, number][] = [[0, places.length]];
  const found: SidePlace[] = [];
  while (stretches.length && found.length < mostPlaces) {
    const windows = stretches.map(([from, to]) => densestWindow(places, from, to));
    let next = 0;
    for (let k = 1; k < windows.length; k++)
      if ((windows[k] as Window).count > (windows[next] as Window).count) next = k;
    const { first, count } = windows[next] as Window;
    const [from, to] = stretches[next] as [number, number];
    const { mean, rms } = within(places, first, count);
    const alongPx = Array.from(side.order.subarray(first, first + count), (i) => side.along[i] as number);
    found.push({ offset: mean, agreeing: count, rms, held: count - runningOn(side, turn, mean), alongPx });
    const inner = stepBelow(places, first, from);
    const outer = stepAbove(places, first + count - 1, to);
    stretches.splice(next, 1);
    if (inner - from >= 3) stretches.push([from, inner]);
    if (to - outer >= 3) stretches.push([outer, to]);
  }
  const most = Math.max(...found.map((f) => f.held));
  return found.reduce(
    (best, f) =>
      f.held >= nearlyAsMany * most &&
      (best === null || best.held < nearlyAsMany * most || f.offset > best.offset)
        ? f
        : best,
    found[0] as SidePlace,
  );
}

/** Profiles that are within the rectangle both sides of a place. */
function runningOn({ runs }: SidePoints, turn: number, offset: number): number {
  let count = 0;
  for (const { along, from, to } of runs) {
    const place = offset + turn * along;
    if (from < place - agreePx && to > place + beyondPx) count++;
  }
  return count;
}

/** How far beyond a place a profile must run on: past the blur of an edge there. */
const beyondPx = 2;

function within(places: Float64Array, first: number, count: number): { mean: number; rms: number } {
  let mean = 0;
  for (let i = first; i < first + count; i++) mean += places[i] as number;
  mean /= count;
  let squares = 0;
  for (let i = first; i < first + count; i++) squares += ((places[i] as number) - mean) ** 2;
  return { mean, rms: Math.sqrt(squares / count) };
}

function stepAbove(places: Float64Array, last: number, to: number): number {
  let k = last + 1;
  while (k < to && !((places[k] as number) > (places[last] as number) + agreePx)) k++;
  return k;
}

function stepBelow(places: Float64Array, first: number, from: number): number {
  let k = first;
  while (k > from && !((places[k - 1] as number) < (places[first] as number) - agreePx)) k--;
  return k;
}

/** A side's places in rising order. The order of one turn is nearly that of the next: little is left to be moved. */
function placesInOrder({ along, out, places, order }: SidePoints, turn: number): Float64Array {
  for (let j = 0; j < order.length; j++) {
    const i = order[j] as number;
    const place = (out[i] as number) - turn * (along[i] as number);
    let k = j;
    for (; k > 0 && (places[k - 1] as number) > place; k--) {
      places[k] = places[k - 1] as number;
      order[k] = order[k - 1] as number;
    }
    places[k] = place;
    order[k] = i;
  }
  return places;
}

interface Window {
  readonly first: number;
  readonly count: number;
}

function densestWindow(places: Float64Array, from: number, to: number): Window {
  let first = from;
  let bestFirst = from;
  let count = 0;
  for (let last = from; last < to; last++) {
    while ((places[last] as number) - (places[first] as number) > 2 * agreePx) first++;
    if (last - first + 1 > count) {
      bestFirst = first;
      count = last - first + 1;
    }
  }
  return { first: bestFirst, count };
}
