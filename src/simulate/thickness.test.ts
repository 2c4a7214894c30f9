import { describe, expect, it } from "vitest";
import type { Feature } from "./feature.ts";
import { disc, rectangle } from "./outline.ts";
import type { Pose } from "./projection.ts";
import { projection } from "./projection.ts";
import type { ThicknessBand } from "./thickness.ts";
import { addThickness, clearBand } from "./thickness.ts";

const MM_PER_PX = 0.02;
const SIZE = 120;
const SUB = 2;

/** Volume in mm3 of one feature, rendered in two bands, placed in the middle at a turn. */
function renderedVolume(feature: Feature, turnDeg: number): number {
  const pose: Pose = { centreMm: [1.2, 1.2], turnDeg, mirrored: false, scale: 1, tiltDeg: [0, 0] };
  const camera = { mmPerPx: MM_PER_PX, sourceDistanceMm: null, axisMm: [1.2, 1.2] } as const;
  const placed = { features: [feature], project: projection(pose, camera), pxPerMm: 1 / MM_PER_PX };
  const rows = (SIZE * SUB) / 2;
  let sum = 0;
  for (const firstRow of [0, rows]) {
    const length = SIZE * SUB * rows;
    const band: ThicknessBand = {
      width: SIZE * SUB,
      rows,
      firstRow,
      materials: [feature.material],
      maps: [new Float32Array(length)],
      edgeShare: new Float32Array(length),
      edgeMm: new Float32Array(length),
      edgeMaterial: new Uint8Array(length),
      strengthPerMm: [1],
    };
    clearBand(band);
    addThickness(placed, band, SUB);
    sum += band.maps[0].reduce((a, b) => a + b, 0);
  }
  return sum * (MM_PER_PX / SUB) ** 2;
}

describe("addThickness keeps volumes", () => {
  it("of a sheet with a hole", () => {
    const plate: Feature = {
      kind: "sheet",
      material: "copper",
      thicknessMm: 0.2,
      zMm: 0,
      outlines: [rectangle([0, 0], 1.5, 1.0)],
      holes: [disc([0.2, 0.1], 0.15)],
    };
    const expected = 0.2 * (1.5 - Math.PI * 0.15 ** 2);
    for (const turn of [0, 20, 77])
      expect(Math.abs(renderedVolume(plate, turn) / expected - 1)).toBeLessThan(1e-3);
  });

  it("of a wire: area of its section times its length, and half a ball at each end", () => {
    for (const diameterMm of [0.025, 0.05]) {
      const wire: Feature = { kind: "wire", material: "gold", diameterMm, zMm: 0, pathMm: [[-0.8, 0], [0.8, 0]] }; // biome-ignore format: one wire
      const r = diameterMm / 2;
      const expected = Math.PI * r * r * 1.6 + (4 / 3) * Math.PI * r ** 3;
      for (const turn of [0, 13, 45])
        expect(Math.abs(renderedVolume(wire, turn) / expected - 1)).toBeLessThan(0.03);
    }
  });

  it("of a ball, which may also be taken away", () => {
    const ball: Feature = {
      kind: "ball",
      material: "tinSilverCopper",
      centreMm: [0.1, 0.05],
      radiusMm: 0.22,
      halfHeightMm: 0.18,
      zMm: 0,
      sign: 1,
    };
    const expected = (4 / 3) * Math.PI * 0.22 ** 2 * 0.18;
    expect(Math.abs(renderedVolume(ball, 0) / expected - 1)).toBeLessThan(2e-3);
    expect(Math.abs(renderedVolume({ ...ball, sign: -1 }, 0) / -expected - 1)).toBeLessThan(2e-3);
  });
});
