const agreePx = 0.8;
/** Turns are tried this far apart at the ends of the longest side: well within what agrees. */
const turnStepPx = 0.2;

/** Where profiles across one side of a rectangle found an edge: `along` the side and `out` from its start, px. */
export interface SidePoints {
  readonly along: Float64Array;
  readonly out: Float64Array;
  readonly profiles: number;
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

/** Places nearly as densely held as the densest compete with it for being the side. */
const nearlyAsMany = 0.85;

/**
 * Where most profiles lie once the turn is taken out: a window of 2 * agreePx slid over the sorted places. Of two
 * places held by nearly as many the outer is the side: what lines up inside it (a row of bonds) stands on it.
 */
export function densestPlace(side: SidePoints, turn: number) {
  if (side.out.length < 3) return null;
  const places = placesInOrder(side, turn);
  const densest = densestWindow(places, 0);
  const last = densest.first + densest.count - 1;
  let beyond = last + 1;
  while (beyond < places.length && !((places[beyond] as number) > (places[last] as number) + agreePx))
    beyond++;
  const outer = beyond < places.length ? densestWindow(places, beyond) : null;
  const { first, count } = outer && outer.count >= nearlyAsMany * densest.count ? outer : densest;
  let mean = 0;
  for (let i = first; i < first + count; i++) mean += places[i] as number;
  mean /= count;
  let squares = 0;
  for (let i = first; i < first + count; i++) squares += ((places[i] as number) - mean) ** 2;
  const rms = Math.sqrt(squares / count);
  // Votes reward tight agreement, so that a slanted line does not win by filling the window.
  return { offset: mean, agreeing: count, rms, votes: count * (1 - rms / (2 * agreePx)) };
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

function densestWindow(places: Float64Array, from: number): { first: number; count: number } {
  let first = from;
  let bestFirst = from;
  let count = 0;
  for (let last = from; last < places.length; last++) {
    while ((places[last] as number) - (places[first] as number) > 2 * agreePx) first++;
    if (last - first + 1 > count) {
      bestFirst = first;
      count = last - first + 1;
    }
  }
  return { first: bestFirst, count };
}
