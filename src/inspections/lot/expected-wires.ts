import { median } from "../../numeric/order.ts";
import type { Scale } from "../../radiograph/radiograph.ts";
import { measured, notMeasured } from "../../units/measured.ts";
import type { WireKind } from "../wires/expected-wire.ts";
import { expectedWire, hardKev, softKev } from "../wires/expected-wire.ts";
import { leastContrastToNoise } from "../wires/wire-state.ts";
import type { PlacedLot } from "./placing/place-lot.ts";
import type { LotCompared } from "./result.ts";

/** A wire from lead to die is about so long, in the body's shorter side (common practice). */
const lengthShare = 0.25;

/** Whether wires of the stated kind would show in these pictures, whatever was seen of them. */
export function expectedWires(lot: PlacedLot, wire: WireKind, scale: Scale): LotCompared {
  const characteristic = "statedWire";
  const named = `${wire.material} wire of ${wire.diameterUm} um`;
  if (scale.umPerPx === null) {
    const because = `no scale, so that it cannot be said how a ${named} would show`;
    return { characteristic, assessable: false, because, smallestDetectable: notMeasured("um", "no-scale") };
  }
  const { frame, items } = lot;
  const lengthPx = lengthShare * frame.body.widthPx * frame.reducedBy * frame.patchReducedBy;
  const noise = median(items.map((item) => item.picture.openNoise));
  const { attenuation, contrastToNoise, leastDiameterUm } = expectedWire(
    wire,
    scale.umPerPx,
    noise,
    lengthPx,
  );
  const range = ([hard, soft]: readonly [number, number], digits: number) =>
    `${hard.toPrecision(digits)} to ${soft.toPrecision(digits)}`;
  return {
    characteristic,
    assessable: contrastToNoise[0] >= leastContrastToNoise,
    because: `a ${named} takes ${range(attenuation, 2)} of attenuation through its middle (${hardKev} to ${softKev} keV), contrast-to-noise ${range(contrastToNoise, 2)} along ${Math.round(lengthPx)} px over even mould, by noise alone; ${leastContrastToNoise} is needed. Smallest: such a wire's diameter`,
    smallestDetectable: measured(leastDiameterUm, 0.1 * leastDiameterUm, "um"),
  };
}
