import { deflateSync } from "node:zlib";
import { describe, expect, it } from "vitest";
import { greyTags, tiffFile } from "../../../test/fixtures/formats/tiff-file.ts";
import { codecs } from "../../cli/codecs.ts";
import { UnreadablePictureError } from "../errors.ts";
import type { Limits } from "../limits.ts";
import { defaultLimits } from "../limits.ts";
import { readTiff } from "./read-tiff.ts";

function refusal(bytes: Uint8Array, limits: Partial<Limits> = {}): UnreadablePictureError {
  try {
    readTiff(bytes, { codecs, limits: { ...defaultLimits, ...limits } });
  } catch (error) {
    if (error instanceof UnreadablePictureError) return error;
    throw error;
  }
  throw new Error("it was read");
}

function file(more: Record<number, readonly number[]>, data = Uint8Array.of(1, 2, 3, 4)): Uint8Array {
  return tiffFile([{ tags: { ...greyTags(2, 2, 8), ...more }, segments: [data] }]);
}

describe("refusals that name what is not read", () => {
  it.each([
    [2, "CCITT run-length"],
    [4, "CCITT group 4"],
    [6, "old-style JPEG"],
    [7, "JPEG"],
    [34676, "SGI log"],
    [50000, "Zstandard"],
    [12345, "12345"],
  ])("names compression %i", (compression, name) => {
    const error = refusal(file({ 259: [compression] }));
    expect(error.code).toBe("unsupported-feature");
    expect(error.message).toContain(name);
  });

  it.each([
    [6, "YCbCr"],
    [8, "CIELab"],
    [32803, "colour filter array"],
  ])("names photometric %i", (photometric, name) => {
    expect(refusal(file({ 262: [photometric] }))).toMatchObject({ code: "unsupported-feature" });
    expect(refusal(file({ 262: [photometric] })).message).toContain(name);
  });

  it.each([
    [{ 258: [64] }, "64-bit unsigned"],
    [{ 258: [24] }, "24-bit unsigned"],
    [{ 258: [64], 339: [6] }, "complex"],
    [{ 258: [8, 16], 277: [2] }, "different widths (8, 16 bits)"],
    [{ 258: [12], 259: [8], 317: [2] }, "predictor 2 on 12-bit"],
  ])("names %o", (more, name) => {
    expect(refusal(file(more)).code).toBe("unsupported-feature");
    expect(refusal(file(more)).message).toContain(name);
  });

  it("names old-style LZW", () => {
    const error = refusal(file({ 259: [5] }, Uint8Array.of(0, 1, 2, 3)));
    expect(error.message).toContain("least significant bit first");
  });
});

describe("files that end early", () => {
  it("refuses a strip beyond the end and says both lengths", () => {
    const whole = tiffFile([
      { tags: { ...greyTags(2, 2, 8), 273: [200] }, segments: [Uint8Array.of(1, 2, 3, 4)] },
    ]);
    const error = refusal(whole);
    expect(error.code).toBe("truncated");
    expect(error.message).toContain(`${whole.length} of 204 bytes`);
  });

  it("refuses every cut of a file, never giving part of the picture", () => {
    const whole = file({});
    // The last four bytes link to the next page: some writers leave them out.
    for (let length = 4; length < whole.length - 4; length++) {
      expect(refusal(whole.subarray(0, length)).code).toBe("truncated");
    }
  });

  it("refuses a strip that holds or expands to less than it should", () => {
    expect(refusal(file({}, Uint8Array.of(1, 2, 3)))).toMatchObject({ code: "damaged" });
    const short = new Uint8Array(deflateSync(Uint8Array.of(1, 2, 3)));
    expect(refusal(file({ 259: [8] }, short)).message).toContain("expands to 3");
    expect(refusal(file({ 259: [8] }, short.subarray(0, 6))).message).toContain("deflate stream");
    expect(refusal(file({ 259: [32773] }, Uint8Array.of(0xff, 7))).message).toContain("expands to 2");
    expect(refusal(file({ 259: [5] }, Uint8Array.of(0x80, 0x00, 0x40))).message).toContain("expands to 1");
  });
});

describe("claims that are checked before allocating", () => {
  const huge = { 256: [65_000], 257: [65_000], 278: [65_000] };

  it("refuses too many pixels, samples, pages and bytes", () => {
    expect(refusal(file(huge)).message).toContain("65000 x 65000");
    expect(refusal(file({ 277: [65_535] })).code).toBe("too-large");
    const plain = file({});
    expect(refusal(plain, { maxPixels: 3 }).code).toBe("too-large");
    expect(refusal(plain, { maxMemoryBytes: plain.length + 3 }).code).toBe("too-large");
    const page = { tags: greyTags(1, 1, 8), segments: [Uint8Array.of(1)] };
    expect(refusal(tiffFile([page, page]), { maxPages: 1 }).code).toBe("too-large");
  });

  it("refuses a size that the compressed bytes cannot hold", () => {
    const data = new Uint8Array(deflateSync(new Uint8Array(4)));
    const error = refusal(file({ 256: [10_000], 257: [10_000], 278: [10_000], 259: [8] }, data));
    expect(error.code).toBe("damaged");
    expect(error.message).toContain("cannot hold");
  });

  it("refuses a stream that expands beyond its strip", () => {
    const bomb = new Uint8Array(deflateSync(new Uint8Array(100_000)));
    expect(refusal(file({ 259: [8] }, bomb)).message).toContain("cannot be expanded");
  });

  it("refuses tiles that reach far beyond the picture", () => {
    const tags = { ...greyTags(100_000, 1, 8), 278: [], 322: [1], 323: [100_000] };
    const error = refusal(tiffFile([{ tags, segments: [Uint8Array.of(1)], tiled: true }]));
    expect(error.code).toBe("too-large");
  });

  it("refuses sizes of zero, no strips, and empty strips", () => {
    expect(refusal(file({ 256: [0] })).message).toContain("0 x 2");
    expect(refusal(file({ 273: [] })).message).toContain("no strip offsets");
    expect(refusal(file({ 278: [1] })).message).toContain("lists 1 strip offsets");
    expect(refusal(file({ 259: [5], 273: [8, 0], 279: [4, 0], 278: [1] })).message).toContain("empty");
  });
});
