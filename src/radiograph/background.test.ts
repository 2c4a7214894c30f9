import { readFileSync } from "node:fs";
import { describe, expect, test } from "vitest";
import { describeNeeding, needsShared, sharedPath } from "../../test/support/needs.ts";
import { codecs } from "../cli/codecs.ts";
import { readPicture } from "../formats/read-picture.ts";
import { createImage, createMask } from "../numeric/image.ts";
import { evaluateSurface } from "../numeric/polynomial-surface.ts";
import type { Background } from "./background.ts";
import { findBackground } from "./background.ts";
import { normalNumbers } from "./invented-picture.ts";
import { toRadiograph } from "./to-radiograph.ts";

const width = 300;
const height = 200;
/** Shaded beam: 8 % down to the right, 4 % in the corners. */
const beam = (x: number, y: number): number => {
  const u = x / width - 0.5;
  const v = y / height - 0.5;
  return 3000 * (1 - 0.08 * u - 0.08 * (u * u + v * v));
};
/** Parts of 60 % transmission in a grid: `gap` cells of open beam between them, walls of 96 % in the gaps' middle. */
function tray(gap: number, walls: boolean): { data: Float32Array; width: number; height: number } {
  const image = createImage(width, height);
  const normal = normalNumbers(3);
  for (let y = 0; y < height; y++) {
    for (let x = 0; x < width; x++) {
      const inPart = x % 50 >= gap && y % 50 >= gap;
      const inWall = walls && (x % 50 === 1 || y % 50 === 1);
      const t = inPart ? 0.6 : inWall ? 0.96 : 1;
      image.data[y * width + x] = beam(x, y) * t + 2 * normal();
    }
  }
  return image;
}
function worstRatio(found: Background): number {
  let worst = 0;
  for (let y = 0; y < height; y += 10) {
    for (let x = 0; x < width; x += 10) {
      const fit = found.surface === null ? found.greyMean : evaluateSurface(found.surface, x, y);
      worst = Math.max(worst, Math.abs(fit / beam(x, y) - 1));
    }
  }
  return worst;
}

describe("findBackground", () => {
  test("follows shading through the gaps of parts that cover 72 % of the field", () => {
    const found = findBackground(tray(8, false), null, null, 2);
    expect(found.kind).toBe("fitted");
    expect(worstRatio(found)).toBeLessThan(0.01);
  });

  test("pocket walls of 4 % stay out of it", () => {
    expect(worstRatio(findBackground(tray(12, true), null, null, 2))).toBeLessThan(0.01);
  });

  test("even substrates of 94 % with blurred gaps between them are not the open beam", () => {
    const image = createImage(width, height);
    const normal = normalNumbers(5);
    for (let y = 0; y < height; y++) {
      for (let x = 0; x < width; x++) {
        // No cell lies in the middle of a gap: its neighbours on either side differ by 1.4 %.
        const [u, v] = [x % 50, y % 50].map((t) => Math.min(Math.abs(t - 0.5), 50.5 - t));
        const open = Math.exp(-((Math.min(u as number, v as number) / 2.5) ** 2));
        image.data[y * width + x] = 3000 * (0.947 + 0.053 * open) + 2 * normal();
      }
    }
    const found = findBackground(image, null, null, 2);
    expect(found.kind).toBe("fitted");
    expect(found.greyMean / 3000).toBeGreaterThan(0.99);
    expect(found.greyMean / 3000).toBeLessThan(1.005);
  });

  test("an empty field is all background", () => {
    const found = findBackground(tray(50, false), null, null, 2);
    expect(found.share).toBeGreaterThan(0.8);
    expect(worstRatio(found)).toBeLessThan(0.003);
  });

  test("structure everywhere: no background, a constant near the top", () => {
    const image = createImage(width, height);
    const normal = normalNumbers(5);
    for (let i = 0; i < image.data.length; i++) image.data[i] = 1000 + 200 * normal();
    const found = findBackground(image, null, null, 2);
    expect(found.kind).toBe("none");
    expect(found.greyMean).toBeGreaterThan(1400);
  });

  test("a saturated beam gives the clip level and says so", () => {
    const image = tray(20, false);
    const clipped = createMask(width, height);
    for (let i = 0; i < image.data.length; i++) {
      if (image.data[i] > 2500) clipped.data[i] = 1;
      image.data[i] = Math.min(image.data[i], 2500);
    }
    expect(findBackground(image, clipped, 2500, 2)).toMatchObject({
      kind: "fitted",
      greyMean: 2500,
      saturated: true,
      surface: null,
    });
  });
});

describeNeeding(needsShared("simulated/A2"), "open beam in simulated trays and tapes", () => {
  // The simulator's own open-beam grey; its pictures lose a constant few per cent of it in the tray's floor,
  // which is an offset. What must not happen is that the field bends through the parts.
  for (const [folder, file] of [
    ["A2", "tray_00.tif"],
    ["A2", "tray_06.tif"],
    ["A5", "tape_00.tif"],
    ["A6", "tray_00.tif"],
    ["A10", "part_000.tif"],
  ]) {
    test(`${folder}/${file}: within 5 % of the truth, and flat within 1.5 %`, async () => {
      const truth = JSON.parse(readFileSync(sharedPath(`simulated/${folder}/truth.json`), "utf8"));
      const of = truth.images.find((each: { file: string }) => each.file === file);
      const p = await readPicture(readFileSync(sharedPath(`simulated/${folder}/${file}`)), { codecs });
      const r = toRadiograph(p, { name: file, sha256: "" });
      const ratios: number[] = [];
      for (let i = 0; i < p.samples.length; i += 997) {
        ratios.push((p.samples[i] * Math.exp(r.attenuation[i])) / of.detector.open_beam_grey);
      }
      ratios.sort((a, b) => a - b);
      const middle = ratios[ratios.length >> 1];
      expect(Math.abs(middle - 1)).toBeLessThan(0.05);
      expect(ratios[0] / middle).toBeGreaterThan(0.985);
      expect(ratios[ratios.length - 1] / middle).toBeLessThan(1.015);
    });
  }
});
