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

/** The screen as a hand-held camera sees it: 8 bits, its far side 12 % smaller. */
function photographed(samples: Uint16Array, width: number, height: number): Uint8Array {
  const out = new Uint8Array(width * height);
  for (let y = 0; y < height; y++) {
    const share = 0.88 + (0.12 * y) / height;
    for (let x = 0; x < width; x++) {
      const from = Math.round(width / 2 + (x - width / 2) / share);
      const inside = from >= 0 && from < width;
      out[y * width + x] = inside ? Math.min(255, (samples[y * width + from] as number) >> 4) : 210;
    }
  }
  return out;
}

/**
 * A photograph of a screen, from aslant, is all there is. Success: it is read as the lossy picture it is, lengths are px or
 * not measured, never mm, no scale is claimed, and the smaller far row is no other construction. Perspective is neither
 * fitted nor refused yet: the rows are called for their size, which is what is checked here.
 */
it("7: measures nothing in mm on a photograph from aslant, and says that its coding is lossy", () => {
  const { status, document } = lotRun(folder, "slanted");
  const [picture] = document.pictures;
  expect(picture?.lossy).toBe(true);
  expect(picture?.scale.origin).toBe("none");
  const measured = document.parts.flatMap(({ measurements }) => Object.values(measurements));
  expect(measured.filter(({ unit }) => unit === "mm" || unit === "um")).toEqual([]);
  expect(document.identity).toBe("no-exemplar");
  expect(document.groups).toHaveLength(1);
  const sizes = document.parts
    .flatMap(({ calls }) => calls)
    .filter(({ says }) => says.includes("in all lengths"));
  expect(sizes.length).toBeGreaterThan(0);
  for (const { says } of sizes) expect(says).toContain("it lies at another height, or is of another size");
  expect(status).toBe(1);
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
