import type { BuildPackage, LeadMm } from "../construction.ts";
import type { OutlineMm, PointMm } from "../feature.ts";
import { sheet } from "../feature.ts";
import { box, chamferedRectangle, disc } from "../outline.ts";
import { mouldedBody } from "./moulded-body.ts";

/** A power part: large die on a pad that is one piece with half the leads, a copper clip over it. Lengths mm. */
export interface ClipPowerShape {
  readonly clipMm: readonly [length: number, width: number];
  readonly clipThickness: number;
  readonly clipHoles: readonly (readonly [x: number, y: number, radius: number])[];
  readonly leadWidth: number;
}

const PITCH_MM = 1.27;

/** Builder of a leadless power part: leads 1-4 below (1-3 under the clip, 4 the gate), 5-8 are the pad. */
export function clipPowerPackage(shape: ClipPowerShape): BuildPackage {
  return (construction, random) => {
    const [length, width] = construction.bodyMm;
    const [padL, padW] = construction.padMm ?? [0, 0];
    const half = width / 2;
    const t = construction.frameThicknessMm;
    const padCentre: PointMm = [0, -half + 0.3 + padW / 2];
    const flat: OutlineMm[] = [];
    const leads: LeadMm[] = [];
    for (let i = 0; i < 4; i++) {
      const x = (i - 1.5) * PITCH_MM;
      const w = shape.leadWidth / 2;
      flat.push(box(x - w, half - 0.6, x + w, half + 0.02), box(x - w, -half - 0.02, x + w, padCentre[1]));
      leads.push({ pin: i + 1, tipMm: i === 3 ? [x, half - 0.45] : null, footMm: [x, half - 0.1] });
      leads.push({ pin: 8 - i, tipMm: null, footMm: [x, -half + 0.1] });
    }
    // Source leads 1-3 share one bar.
    flat.push(box(-1.5 * PITCH_MM - 0.2, half - 0.75, 0.5 * PITCH_MM + 0.2, half - 0.4));
    flat.push(chamferedRectangle(padCentre, padL, padW, 0.15));
    const [clipL, clipW] = shape.clipMm;
    const shift: PointMm = [0.03 * random.normal(), 0.03 * random.normal()];
    const clipTop = padCentre[1] - clipW / 2 + shift[1];
    const clipX = -0.35 + shift[0];
    const clip = box(clipX - clipL / 2, clipTop, clipX + clipL / 2, half - 0.5);
    const die = construction.dieMm ?? [0, 0, 0];
    const clipZ = t + die[2] + 0.05 + shape.clipThickness / 2;
    const holes = shape.clipHoles.map(([x, y, r]) => disc([clipX + x, padCentre[1] + y], r));
    return {
      frame: [
        sheet(construction.frameMaterial, t, t / 2, flat),
        sheet("copper", shape.clipThickness, clipZ, [clip], holes),
      ],
      body: mouldedBody(length, width, construction.bodyThicknessMm, 0.04),
      overallMm: [length, width + 0.04],
      padOutlineMm: box(-padL / 2, padCentre[1] - padW / 2, padL / 2, padCentre[1] + padW / 2),
      leads,
      dieCentreMm: padCentre,
      dieZMm: t,
    };
  };
}
