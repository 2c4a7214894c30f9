import { median } from "../../numeric/order.ts";

/** Stretches between the lead's end and the die's rim, which make edges of their own. */
const [firstInner, lastInner] = [1, 10] as const;
/** A wire shows in every stretch: less than this share of its middle contrast is none. */
const leastOfMiddle = 0.25;
/** Nearer to the die than to the lead only mould lies about a wire: there it shows evenly, to within this share. */
const firstByDie = 6;
const mostUneven = 0.3;
/** One stretch may lie under what hides it. */
const mostHollow = 1;

/**
 * Whether a course shows nothing over several stretches in which a wire would have been seen: what stands out in the
 * others is then edges that it crosses, as of a lid, a cavity or a fan of leads.
 *
 * @param wire contrast by stretch, from the lead to the die
 * @param chance by stretch, what is found there without it: where that is much a wire may be hidden
 */
export function isHollow(wire: readonly number[], chance: readonly number[]): boolean {
  if (isEvenByDie(wire)) return false;
  const shown = wire.filter((v) => v > 0);
  if (!shown.length) return true;
  const least = leastOfMiddle * median(shown);
  let hollow = 0;
  for (let k = firstInner; k <= lastInner; k++) {
    const [own, beside] = [wire[k] as number, chance[k] as number];
    // Where no row is even on both sides nothing is known.
    if (Number.isFinite(own) && own + Math.max(0, Number.isFinite(beside) ? beside : 0) < least) hollow++;
  }
  return hollow > mostHollow;
}

/** Beside its lead a wire may run along the edges of metal, by which several stretches of it are hidden. */
function isEvenByDie(wire: readonly number[]): boolean {
  const half = wire.slice(firstByDie, lastInner + 1);
  const middle = median(half.map((v) => (Number.isFinite(v) ? v : 0)));
  return middle > 0 && half.every((v) => Math.abs(v - middle) <= mostUneven * middle);
}
