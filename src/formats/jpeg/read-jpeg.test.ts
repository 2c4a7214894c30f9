import { readFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { joinBytes } from "../../../test/fixtures/formats/png-file.ts";
import { tiffFile } from "../../../test/fixtures/formats/tiff-file.ts";
import { projectRoot } from "../../../test/support/needs.ts";
import { codecs } from "../../cli/codecs.ts";
import type { Limits } from "../limits.ts";
import { defaultLimits } from "../limits.ts";
import { readJpegHeader } from "./header.ts";
import { readJpeg } from "./read-jpeg.ts";

const fixtures = join(projectRoot, "test", "fixtures", "formats");
const grey = new Uint8Array(readFileSync(join(fixtures, "grey.jpg")));
const colour = new Uint8Array(readFileSync(join(fixtures, "rgb-progressive.jpg")));

function read(bytes: Uint8Array, limits: Partial<Limits> = {}) {
  return readJpeg(bytes, { codecs, limits: { ...defaultLimits, ...limits } });
}

function segment(marker: number, data: Uint8Array): Uint8Array {
  const length = data.length + 2;
  return joinBytes(Uint8Array.of(0xff, marker, length >> 8, length & 255), data);
}

/** The file with a segment put in right after its start. */
function withSegment(bytes: Uint8Array, marker: number, data: Uint8Array): Uint8Array {
  return joinBytes(bytes.subarray(0, 2), segment(marker, data), bytes.subarray(2));
}

/** The file with its frame header changed by `edit`. */
function withFrame(bytes: Uint8Array, marker: number, edit: (frame: Uint8Array) => void): Uint8Array {
  const out = bytes.slice();
  const at = out.findIndex((byte, i) => byte === 0xff && out[i + 1] === marker);
  edit(out.subarray(at));
  return out;
}

describe("readJpeg", () => {
  it("reads grey and colour, baseline and progressive, and marks both lossy", async () => {
    expect(await read(grey)).toMatchObject({
      format: "jpeg",
      widthPx: 53,
      heightPx: 37,
      channels: 1,
      bits: 8,
      photometric: "min-is-black",
      lossy: true,
    });
    expect(await read(colour)).toMatchObject({ channels: 3, photometric: "colour", lossy: true });
    expect(readJpegHeader(colour).progressive).toBe(true);
  });

  it("reports an EXIF orientation and leaves the pixels as they are", async () => {
    const exif = tiffFile([{ tags: { 274: [6], 273: [], 279: [] }, segments: [] }]);
    const marked = withSegment(
      grey,
      0xe1,
      joinBytes(
        Uint8Array.from("Exif\0\0", (c) => c.charCodeAt(0)),
        exif,
      ),
    );
    const picture = await read(marked);
    expect(picture.notes).toContain("EXIF orientation 6: not applied, pixels are as stored");
    expect([picture.widthPx, picture.heightPx]).toEqual([53, 37]);
    expect(picture.samples).toEqual((await read(grey)).samples);
  });

  it("reads on past broken EXIF", async () => {
    const broken = withSegment(
      grey,
      0xe1,
      Uint8Array.from("Exif\0\0II*\0\xff\xff\xff\xff", (c) => c.charCodeAt(0)),
    );
    expect((await read(broken)).widthPx).toBe(53);
  });

  it("ignores what follows the end marker", async () => {
    expect((await read(joinBytes(grey, Uint8Array.of(0, 1, 2)))).samples).toEqual((await read(grey)).samples);
  });

  it.each([
    [0xc3, "lossless JPEG"],
    [0xc9, "arithmetic-coded JPEG"],
  ])("names the coding of frame %i", async (marker, name) => {
    const other = withFrame(grey, 0xc0, (frame) => {
      frame[1] = marker;
    });
    await expect(read(other)).rejects.toMatchObject({ code: "unsupported-feature" });
    await expect(read(other)).rejects.toThrow(name);
  });

  it("names 12 bits and four components", async () => {
    const twelve = withFrame(grey, 0xc0, (frame) => {
      frame[4] = 12;
    });
    await expect(read(twelve)).rejects.toThrow("12-bit JPEG");
    const four = withFrame(grey, 0xc0, (frame) => {
      frame[9] = 4;
    });
    await expect(read(four)).rejects.toThrow("4 components");
  });

  it("refuses a file without its end", async () => {
    await expect(read(grey.subarray(0, grey.length - 2))).rejects.toMatchObject({ code: "truncated" });
    await expect(read(grey.subarray(0, 100))).rejects.toMatchObject({ code: "truncated" });
  });

  it("refuses data that stops although the end marker is there", async () => {
    const cut = joinBytes(grey.subarray(0, grey.length - 200), Uint8Array.of(0xff, 0xd9));
    await expect(read(cut)).rejects.toMatchObject({ code: "damaged" });
  });

  it("checks sizes before decoding", async () => {
    const huge = withFrame(grey, 0xc0, (frame) => frame.set([0xff, 0xff, 0xff, 0xff], 5));
    await expect(read(huge)).rejects.toMatchObject({ code: "too-large" });
    await expect(read(grey, { maxPixels: 53 * 37 - 1 })).rejects.toMatchObject({ code: "too-large" });
    await expect(read(grey, { maxMemoryBytes: 3000 })).rejects.toMatchObject({ code: "too-large" });
  });

  it("refuses a JPEG of endless scans", async () => {
    const scans = Array.from({ length: 300 }, () => segment(0xda, new Uint8Array(6)));
    const bytes = joinBytes(grey.subarray(0, 2), ...scans, grey.subarray(2));
    await expect(read(bytes)).rejects.toThrow(/more scans/);
  });
});
