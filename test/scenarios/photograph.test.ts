import { copyFileSync, mkdirSync, rmSync } from "node:fs";
import { join } from "node:path";
import sharp from "sharp";
import { afterAll, beforeAll, expect, it } from "vitest";
import { candler } from "../support/candler.ts";
import { describeNeeding, needsShared, sharedPath } from "../support/needs.ts";
import { smallLot } from "../support/small-lot.ts";
import { lotRun, scenarioFolder } from "./scenario-lot.ts";

const folder = scenarioFolder();
afterAll(() => rmSync(folder, { recursive: true, force: true }));

beforeAll(async () => {
  const { picture } = smallLot(null);
  for (const name of ["slanted", "coloured"]) mkdirSync(join(folder, name));
  const grey = photographed(picture.samples, picture.width, picture.height);
  const raw = { raw: { width: picture.width, height: picture.height, channels: 1 as const } };
  await sharp(grey, raw).grayscale().jpeg({ quality: 85 }).toFile(join(folder, "slanted/screen.jpg"));
  const tint = { r: 120, g: 160, b: 255 };
  const colour = { width: picture.width, height: picture.height, channels: 3 as const, background: tint };
  await sharp({ create: colour })
    .composite([{ input: await sharp(grey, raw).png().toBuffer(), blend: "multiply" }])
    .jpeg({ quality: 85 })
    .toFile(join(folder, "coloured/screen.jpg"));
});

/**
 * The screen as a hand-held camera sees it from aslant, by the geometry of a pinhole: 8 bits, its far side 12 % smaller
 * and foreshortened.
 */
function photographed(samples: Uint16Array, width: number, height: number): Uint8Array {
  const out = new Uint8Array(width * height);
  const depth = 0.12 / 0.88;
  for (let y = 0; y < height; y++) {
    // Rows from below, nearest first: a row at distance v of the screen is seen at v / (1 + depth v).
    const seen = 1 - y / (height - 1);
    const v = seen / (1 + depth - depth * seen);
    const share = 1 / (1 + depth * v);
    const row = Math.round((1 - v) * (height - 1)) * width;
    for (let x = 0; x < width; x++) {
      const from = Math.round(width / 2 + (x - width / 2) / share);
      const inside = from >= 0 && from < width;
      out[y * width + x] = inside ? Math.min(255, (samples[row + from] as number) >> 4) : 210;
    }
  }
  return out;
}

/**
 * A photograph of a screen, from aslant, is all there is. Success: it is read as the lossy picture it is, no scale is
 * claimed, its perspective is found and said, size columns read "not measured", outlines are compared all the same, and
 * the smaller far row is neither another construction nor called for its size.
 */
it("7: finds the perspective of a photograph from aslant, measures no length on it, compares outlines", () => {
  const { document } = lotRun(folder, "slanted");
  const [picture] = document.pictures;
  expect(picture?.lossy).toBe(true);
  expect(picture?.scale.origin).toBe("none");
  const measured = document.parts.flatMap(({ measurements }) => Object.values(measurements));
  expect(measured.filter(({ value, unit }) => value !== null && ["px", "mm", "um"].includes(unit))).toEqual(
    [],
  );
  expect(document.parts[0]?.measurements.bodyLength).toMatchObject({ value: null, because: "perspective" });
  const said = document.compared.find(({ characteristic }) => characteristic === "perspective");
  const percent = Number(/by up to ([\d.]+) %/.exec(said?.because ?? "")?.[1]);
  // The middles of the outer rows stand two thirds of the picture apart.
  expect(percent).toBeGreaterThan(5);
  expect(percent).toBeLessThan(13);
  expect(document.compared.find(({ characteristic }) => characteristic === "outline")?.assessable).toBe(true);
  expect(document.identity).toBe("no-exemplar");
  expect(document.groups).toHaveLength(1);
  const calls = document.parts.flatMap(({ calls }) => calls);
  expect(calls.filter(({ says }) => says.includes("in all lengths"))).toEqual([]);
});

/** A photograph in colour. Success: refused as a measurement, with the reason and what to do, and nothing is judged. */
it("7: refuses a photograph in colour", () => {
  const { status, stderr } = candler(folder, "lot", "coloured", "--json", "colour.json");
  expect(stderr).toMatch(/colour/i);
  expect(status).toBe(2);
});

describeNeeding(
  needsShared("pictures/electronics/chip/chip_bubbles_annotated_screenshot.png"),
  "7, as found",
  () => {
    it("refuses an annotated screenshot", () => {
      mkdirSync(join(folder, "found"));
      copyFileSync(
        sharedPath("pictures/electronics/chip/chip_bubbles_annotated_screenshot.png"),
        join(folder, "found/screenshot.png"),
      );
      const { status, stderr } = candler(folder, "lot", "found", "--json", "found.json");
      expect(stderr).toMatch(/colour/i);
      expect(status).toBe(2);
    });
  },
);
