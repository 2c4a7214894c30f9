import { createHash } from "node:crypto";
import { readFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { projectRoot } from "../../test/support/needs.ts";
import { codecs } from "../cli/codecs.ts";
import { readPicture } from "./read-picture.ts";

interface Expected {
  readonly by: string;
  readonly width: number;
  readonly height: number;
  readonly channels: number;
  readonly sampleType: string;
  readonly sha256: string;
  readonly pages?: number;
  readonly photometric?: string;
  readonly umPerPx?: readonly [number, number];
  readonly decoded?: readonly number[];
}

const folder = join(projectRoot, "test", "fixtures", "formats");
const expected: Record<string, Expected> = JSON.parse(
  readFileSync(join(folder, "expected.json"), "utf8"),
).files;

/** Files written by Pillow, OpenCV and tifffile: scripts/reference/format-fixtures.py. */
describe("files written by other libraries", () => {
  for (const [name, want] of Object.entries(expected)) {
    it(`gives the samples that ${want.by} was given for ${name}`, async () => {
      const picture = await readPicture(readFileSync(join(folder, name)), { codecs });
      expect([picture.widthPx, picture.heightPx, picture.channels]).toEqual([
        want.width,
        want.height,
        want.channels,
      ]);
      expect(picture.sampleType).toBe(want.sampleType);
      expect(picture.pages).toBe(want.pages ?? 1);
      if (want.photometric !== undefined) expect(picture.photometric).toBe(want.photometric);
      if (want.umPerPx !== undefined) {
        expect(picture.taggedPitch?.umPerPxX).toBeCloseTo(want.umPerPx[0], 2);
        expect(picture.taggedPitch?.umPerPxY).toBeCloseTo(want.umPerPx[1], 2);
      }
      if (want.decoded === undefined) {
        const { buffer, byteOffset, byteLength } = picture.samples;
        const bytes = new Uint8Array(buffer, byteOffset, byteLength);
        expect(createHash("sha256").update(bytes).digest("hex")).toBe(want.sha256);
      } else {
        expect(picture.lossy).toBe(true);
        const differences = want.decoded.map((value, i) => Math.abs(value - Number(picture.samples[i])));
        expect(Math.max(...differences)).toBeLessThanOrEqual(1);
      }
    });
  }

  it("covers the codings that are read", () => {
    expect(Object.keys(expected).length).toBeGreaterThanOrEqual(25);
  });
});
