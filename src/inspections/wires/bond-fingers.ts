import { evenly } from "../../numeric/evenly.ts";
import { median } from "../../numeric/order.ts";
import type { OrientedRectangle } from "../../numeric/oriented-rectangle.ts";
import { commonFingers } from "./common-fingers.ts";
import type { FingerWire } from "./finger-wires.ts";
import { findFingerWires } from "./finger-wires.ts";
import { clockwise } from "./lead-frame.ts";
import type { LeadTip, WirePart, WireScene } from "./wire-parts.ts";

/** Parts on which wires are looked for; all are read. */
const searchedParts = 7;
/** Distances from a wire's middle to what it crosses: thin wires, and thick or enlarged ones. */
const flanksPx = [3, 6] as const;
/** Fewer wires are none of a grid's: lines of another kind. */
const fewestWires = 4;

/** Bond fingers as ends of wires, and how far the wires lie apart on the die. */
export interface BondFingers {
  /** Clockwise from the body's top left corner; each knows where its wire reaches the die. */
  readonly fingers: readonly LeadTip[];
  readonly closePx: number;
}

/**
 * Bond fingers: outer ends of the wires that parts of one construction share, where no lead frame says where wires
 * end. A wire that none of them has cannot be missed.
 *
 * @param parts in one frame, without balls
 * @param openNoise attenuation noise of one pixel in open field
 * @returns null where they share fewer than four
 */
export function findBondFingers(
  parts: readonly WirePart[],
  { body }: Pick<WireScene, "body">,
  openNoise: number,
): BondFingers | null {
  const asked = evenly(
    parts.flatMap(({ image, die }) => (die ? [{ image, die }] : [])),
    searchedParts,
  );
  for (const flankPx of flanksPx) {
    const byPart = asked.map(({ image, die }) => findFingerWires(image, { body, die }, flankPx, openNoise));
    const wires = commonFingers(byPart);
    if (wires.length >= fewestWires) return { fingers: numbered(wires, body), closePx: closeness(wires) };
  }
  return null;
}

function numbered(wires: readonly FingerWire[], body: OrientedRectangle): LeadTip[] {
  return clockwise(
    wires.map((wire) => ({ ...wire, aboutPx: wire.fingerPx })),
    body,
  ).map(({ fingerPx, fromPx }, k) => ({
    lead: k + 1,
    tipPx: fingerPx,
    metalPx: fingerPx,
    fusedToPad: false,
    bondPx: fromPx,
  }));
}

/** Middle distance from where a wire reaches the die to where the next one does. */
function closeness(wires: readonly FingerWire[]): number {
  return median(
    wires.map(({ fromPx: [x, y] }, k) =>
      Math.min(
        ...wires.map(({ fromPx: [u, v] }, m) =>
          m === k ? Number.POSITIVE_INFINITY : Math.hypot(u - x, v - y),
        ),
      ),
    ),
  );
}
