import type { BuildPackage, LeadMm } from "../construction.ts";
import type { OutlineMm, PointMm } from "../feature.ts";
import { sheet } from "../feature.ts";
import { box, rectangle } from "../outline.ts";

/** A ceramic flat package: die in a cavity under a metal lid, straight leads. Lengths mm. */
export interface CeramicLidShape {
  readonly pins: number;
  readonly pitch: number;
  readonly leadWidth: number;
  readonly reach: number;
  readonly cavityMm: readonly [length: number, width: number];
  readonly cavityDepth: number;
  readonly lidMm: readonly [length: number, width: number];
  readonly lidThickness: number;
}

/** Builder of a two-row ceramic package with a lid. There is no mould; the die lies in air. */
export function ceramicLidPackage(shape: CeramicLidShape): BuildPackage {
  return (construction, random) => {
    const [length, width] = construction.bodyMm;
    const t = construction.bodyThicknessMm;
    const half = width / 2;
    const [padL, padW] = construction.padMm ?? [0, 0];
    const [cavityL, cavityW] = shape.cavityMm;
    const outer: OutlineMm[] = [];
    const tracks: OutlineMm[] = [];
    const leads: LeadMm[] = [];
    const perSide = shape.pins / 2;
    for (const row of [1, -1]) {
      for (let i = 0; i < perSide; i++) {
        const x = row * (i - (perSide - 1) / 2) * shape.pitch;
        const w = shape.leadWidth / 2;
        outer.push(box(x - w, row * (half - 0.4), x + w, row * (half + shape.reach)));
        const inside = x * (cavityL / (perSide * shape.pitch)) * 0.9;
        const tip: PointMm = [inside, row * (cavityW / 2 + 0.12)];
        tracks.push([
          [x - w, row * half],
          [x + w, row * half],
          [tip[0] + 0.12, tip[1]],
          [tip[0] - 0.12, tip[1]],
        ]);
        const pin = row === 1 ? i + 1 : perSide + i + 1;
        leads.push({
          pin,
          tipMm: [tip[0], tip[1] + row * 0.1],
          footMm: [x, row * (half + shape.reach - 0.2)],
        });
      }
    }
    const lidShift: PointMm = [0.04 * random.normal(), 0.04 * random.normal()];
    const [lidL, lidW] = shape.lidMm;
    const floor = t - shape.cavityDepth;
    return {
      frame: [
        sheet("kovar", 0.12, t / 2, outer),
        sheet("tungsten", 0.012, t / 2, tracks),
        sheet("tungsten", 0.012, floor, [rectangle([0, 0], padL, padW)]),
        sheet("kovar", shape.lidThickness, t, [rectangle(lidShift, lidL, lidW, 0.4 * random.normal())]),
        sheet("gold", 0.015, t, [rectangle([0, 0], lidL, lidW)], [rectangle([0, 0], lidL - 0.7, lidW - 0.7)]),
      ],
      body: [
        sheet("alumina", floor, floor / 2, [rectangle([0, 0], length, width)]),
        sheet(
          "alumina",
          shape.cavityDepth,
          t - shape.cavityDepth / 2,
          [rectangle([0, 0], length, width)],
          [rectangle([0, 0], cavityL, cavityW)],
        ),
      ],
      overallMm: [length, width + 2 * shape.reach],
      padOutlineMm: rectangle([0, 0], padL, padW),
      leads,
      dieCentreMm: [0, 0],
      dieZMm: floor,
    };
  };
}
