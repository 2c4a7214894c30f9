import type { BuildPackage, LeadMm } from "../construction.ts";
import type { Feature, OutlineMm, PointMm } from "../feature.ts";
import { sheet } from "../feature.ts";
import { disc, rectangle, strip } from "../outline.ts";
import { mouldedBody } from "./moulded-body.ts";

/** A laminate with balls underneath, die and wires on top. Lengths mm. */
export interface BallGridShape {
  readonly columns: number;
  readonly rows: number;
  readonly pitch: number;
  readonly ballDiameter: number;
  /** Rows of balls from the edge; the middle is empty. 0: full grid. */
  readonly ring: number;
  readonly laminateThickness: number;
  readonly mouldInset: number;
  /** Bond fingers per side. */
  readonly fingersPerSide: number;
  /** Seeds the tracks: two shapes with another number are routed differently. */
  readonly routing: number;
}

const COPPER_MM = 0.018;

/** Builder of a ball grid package. Balls are numbered from the bottom left in reading order. */
export function ballGridPackage(shape: BallGridShape): BuildPackage {
  return (construction, random) => {
    const [length, width] = construction.bodyMm;
    const die = construction.dieMm ?? [length / 2, width / 2, 0.2];
    const balls: Feature[] = [];
    const tracks: OutlineMm[] = [];
    const leads: LeadMm[] = [];
    const ballSpread = random.fork("balls");
    const fingers: PointMm[] = [];
    const ringL = die[0] / 2 + 0.7;
    const ringW = die[1] / 2 + 0.7;
    for (let side = 0; side < 4; side++) {
      for (let i = 0; i < shape.fingersPerSide; i++) {
        const u = ((i + 0.5) / shape.fingersPerSide) * 2 - 1;
        const at: PointMm[] = [
          [u * ringL, ringW],
          [ringL, -u * ringW],
          [-u * ringL, -ringW],
          [-ringL, u * ringW],
        ];
        fingers.push(at[side]);
      }
    }
    const lands: PointMm[] = [];
    for (let r = 0; r < shape.rows; r++) {
      for (let c = 0; c < shape.columns; c++) {
        const fromEdge = Math.min(r, c, shape.rows - 1 - r, shape.columns - 1 - c);
        if (shape.ring > 0 && fromEdge >= shape.ring) continue;
        const at: PointMm = [
          (c - (shape.columns - 1) / 2) * shape.pitch,
          ((shape.rows - 1) / 2 - r) * shape.pitch,
        ];
        lands.push(at);
        const radius = (shape.ballDiameter / 2) * (1 + 0.012 * ballSpread.normal());
        const centreMm: PointMm = [at[0] + 0.01 * ballSpread.normal(), at[1] + 0.01 * ballSpread.normal()];
        balls.push({
          kind: "ball",
          material: "tinSilverCopper",
          centreMm,
          radiusMm: radius,
          halfHeightMm: 0.82 * radius,
          zMm: -radius,
          sign: 1,
        });
      }
    }
    fingers.forEach((finger, i) => {
      const angle = Math.atan2(finger[1], finger[0]);
      const outward: PointMm = [Math.cos(angle), Math.sin(angle)];
      tracks.push(strip([finger, [finger[0] + 0.25 * outward[0], finger[1] + 0.25 * outward[1]]], [0.1, 0.1])); // biome-ignore format: a path on one line
      const near = lands[(i * 7 + shape.routing * 11) % lands.length];
      const bend: PointMm = [finger[0] + 0.6 * outward[0], finger[1] + 0.6 * outward[1]];
      const aligned = near[0] * finger[0] + near[1] * finger[1] > 0;
      if (aligned) tracks.push(strip([finger, bend, near], [0.06, 0.06, 0.06]));
      leads.push({ pin: i + 1, tipMm: finger, footMm: near });
    });
    tracks.push(rectangle([0, 0], die[0] + 0.5, die[1] + 0.5));
    for (const land of lands) tracks.push(disc(land, shape.ballDiameter * 0.4, 16));
    const z = shape.laminateThickness;
    const body: Feature[] = [
      sheet("laminate", z, z / 2, [rectangle([0, 0], length, width)]),
      ...mouldedBody(
        length - 2 * shape.mouldInset,
        width - 2 * shape.mouldInset,
        construction.bodyThicknessMm - z,
        shape.mouldInset > 0 ? 0.12 : 0,
      ),
    ];
    return {
      frame: [sheet("copper", COPPER_MM, z, tracks), ...balls],
      body,
      overallMm: [length, width],
      padOutlineMm: null,
      leads,
      dieCentreMm: [0, 0],
      dieZMm: z + COPPER_MM,
    };
  };
}
