import type { BuildPackage, LeadMm } from "../construction.ts";
import type { OutlineMm, PointMm } from "../feature.ts";
import { box, chamferedRectangle, disc, quarterTurned, strip } from "../outline.ts";
import type { GullWing, LeadOutlines } from "./gull-wing.ts";
import { addGullWing, leadFeatures } from "./gull-wing.ts";
import { mouldedBody } from "./moulded-body.ts";

/** A lead frame with formed leads on four sides. Lengths mm. */
export interface FourRowShape {
  readonly perSide: number;
  readonly pitch: number;
  readonly wing: GullWing;
  readonly draft: number;
  readonly innerWidth: number;
  /** Between pad and lead tips. */
  readonly gap: number;
  /** Where the leads turn towards the die, as a share of the way in from the body's edge. */
  readonly elbowShare: number;
  readonly tieWidth: number;
  readonly padChamfer: number;
  /** Radius of a hole in the middle of the pad; 0 for none. */
  readonly padHole: number;
}

/** Builder of a four-sided package with formed leads; pin 1 is the left one of the bottom side. */
export function fourRowPackage(shape: FourRowShape): BuildPackage {
  return (construction, random) => {
    const [length, width] = construction.bodyMm;
    const pad = construction.padMm ?? [0, 0];
    const outlines: LeadOutlines = { flat: [], leg: [], bend: [], foot: [] };
    const inner: OutlineMm[] = [];
    const leads: LeadMm[] = [];
    const span = (shape.perSide - 1) * shape.pitch;
    for (let side = 0; side < 4; side++) {
      const half = (side % 2 === 0 ? width : length) / 2;
      const padHalf = pad[side % 2 === 0 ? 1 : 0] / 2;
      const across = pad[side % 2 === 0 ? 0 : 1];
      const turned = (o: OutlineMm): OutlineMm => quarterTurned(o, -side);
      for (let i = 0; i < shape.perSide; i++) {
        const x = (i - (shape.perSide - 1) / 2) * shape.pitch;
        const y = padHalf + shape.gap;
        const tip: PointMm = [(x / span) * (0.92 * across), y];
        const depth = half - y;
        const elbow: PointMm = [x, half - shape.elbowShare * depth];
        const end: PointMm = [tip[0] + 0.15 * (x - tip[0]), y + 0.12 * depth];
        const { innerWidth: w } = shape;
        inner.push(
          turned(strip([[x, half + 0.02], elbow, end, tip], [shape.wing.leadWidth, shape.wing.leadWidth, w, w])), // biome-ignore format: a path on one line
        );
        const onSide = ([a, out]: PointMm): PointMm => turned([[a, half + out]])[0];
        const foot = addGullWing(outlines, shape.wing, construction.frameThicknessMm, x, onSide, random);
        leads.push({ pin: side * shape.perSide + i + 1, tipMm: turned([end])[0], footMm: foot });
      }
    }
    inner.push(chamferedRectangle([0, 0], pad[0], pad[1], shape.padChamfer));
    for (const [sx, sy] of [
      [-1, -1],
      [1, -1],
      [1, 1],
      [-1, 1],
    ]) {
      const from: PointMm = [sx * (pad[0] / 2 - 0.3), sy * (pad[1] / 2 - 0.3)];
      const to: PointMm = [sx * (length / 2 - 0.25), sy * (width / 2 - 0.25)];
      inner.push(strip([from, to], [shape.tieWidth, shape.tieWidth]));
    }
    const holes = shape.padHole > 0 ? [disc([0, 0], shape.padHole)] : [];
    const z = construction.bodyThicknessMm / 2;
    const { frameMaterial, frameThicknessMm } = construction;
    return {
      frame: leadFeatures(outlines, inner, holes, frameMaterial, frameThicknessMm, shape.wing.legHeight, z),
      body: mouldedBody(length, width, construction.bodyThicknessMm, shape.draft),
      overallMm: [length + 2 * shape.wing.reach, width + 2 * shape.wing.reach],
      padOutlineMm: box(-pad[0] / 2, -pad[1] / 2, pad[0] / 2, pad[1] / 2),
      leads,
      dieCentreMm: [0, 0],
      dieZMm: z + frameThicknessMm / 2,
    };
  };
}
