import type { BuildPackage, LeadMm } from "../construction.ts";
import type { OutlineMm, PointMm } from "../feature.ts";
import { box, disc, strip } from "../outline.ts";
import type { GullWing, LeadOutlines } from "./gull-wing.ts";
import { addGullWing, leadFeatures } from "./gull-wing.ts";
import { mouldedBody } from "./moulded-body.ts";

/** A three-lead part whose pad is one piece with the lead alone on its side. Lengths mm. */
export interface TransistorShape {
  readonly wing: GullWing;
  readonly draft: number;
  /** Bonding land of leads 1 and 2: across and deep. */
  readonly landMm: readonly [number, number];
  /** Locking hole in the pad's neck, radius; 0 for none. */
  readonly neckHole: number;
  /** Width of the neck between pad and lead 3. */
  readonly neckWidth: number;
}

/** Builder of a three-lead small package: leads 1 and 2 below, 3 above. */
export function transistorPackage(shape: TransistorShape): BuildPackage {
  return (construction, random) => {
    const [length, width] = construction.bodyMm;
    const [padL, padW] = construction.padMm ?? [0, 0];
    const half = width / 2;
    const outlines: LeadOutlines = { flat: [], leg: [], bend: [], foot: [] };
    const inner: OutlineMm[] = [];
    const leads: LeadMm[] = [];
    const { frameThicknessMm: t, frameMaterial } = construction;
    const lead = 0.95;
    [-lead, lead].forEach((x, i) => {
      const [across, deep] = shape.landMm;
      const edge = half - 0.22;
      inner.push(
        box(x - across / 2, edge - deep, x + across / 2, edge),
        strip(
          [
            [x, edge - 0.05],
            [x, half + 0.02],
          ],
          [shape.wing.leadWidth, shape.wing.leadWidth],
        ),
      );
      const foot = addGullWing(outlines, shape.wing, t, x, ([a, out]): PointMm => [a, half + out], random);
      leads.push({ pin: i + 1, tipMm: [x * 0.92, edge - deep / 2], footMm: foot });
    });
    const padCentre: PointMm = [0, -half + 0.2 + padW / 2];
    inner.push(
      box(-padL / 2, padCentre[1] - padW / 2, padL / 2, padCentre[1] + padW / 2),
      box(-shape.neckWidth / 2, -half - 0.02, shape.neckWidth / 2, padCentre[1]),
    );
    const top = addGullWing(outlines, shape.wing, t, 0, ([a, out]): PointMm => [-a, -half - out], random);
    leads.push({ pin: 3, tipMm: null, footMm: top });
    const holes = shape.neckHole > 0 ? [disc([0, -half + 0.12], shape.neckHole)] : [];
    const z = construction.bodyThicknessMm / 2;
    return {
      frame: leadFeatures(outlines, inner, holes, frameMaterial, t, shape.wing.legHeight, z),
      body: mouldedBody(length, width, construction.bodyThicknessMm, shape.draft),
      overallMm: [length, width + 2 * shape.wing.reach],
      padOutlineMm: box(-padL / 2, padCentre[1] - padW / 2, padL / 2, padCentre[1] + padW / 2),
      leads,
      dieCentreMm: padCentre,
      dieZMm: z + t / 2,
    };
  };
}
