import { deflateSync } from "node:zlib";
import { describe, expect, it } from "vitest";
import { encodeLzw } from "../../../test/fixtures/formats/lzw-encoder.ts";
import { greyTags, tiffFile, valuesAsBytes } from "../../../test/fixtures/formats/tiff-file.ts";
import { codecs } from "../../cli/codecs.ts";
import { defaultLimits } from "../limits.ts";
import { readTiff } from "./read-tiff.ts";

const options = { codecs, limits: defaultLimits };
const six = [1, 2, 300, 4000, 50_000, 65_535];

function read(bytes: Uint8Array, page?: number) {
  return readTiff(bytes, page === undefined ? options : { ...options, page });
}

function values(bytes: Uint8Array): number[] {
  return Array.from(read(bytes).samples);
}

describe("sample kinds", () => {
  for (const littleEndian of [true, false]) {
    const order = littleEndian ? "little" : "big";
    it(`reads 16-bit samples, ${order}-endian`, () => {
      const page = {
        tags: greyTags(3, 2, 16),
        segments: [valuesAsBytes(six, "u16", littleEndian)],
      };
      const picture = read(tiffFile([page], { littleEndian }));
      expect(picture).toMatchObject({
        format: "tiff",
        widthPx: 3,
        heightPx: 2,
        channels: 1,
        bits: 16,
        sampleType: "unsigned",
        photometric: "min-is-black",
        pages: 1,
        page: 0,
        lossy: false,
        notes: [],
      });
      expect(picture.samples).toEqual(Uint16Array.from(six));
    });

    it(`reads BigTIFF, ${order}-endian`, () => {
      const page = { tags: greyTags(3, 2, 16), segments: [valuesAsBytes(six, "u16", littleEndian)] };
      expect(values(tiffFile([page], { littleEndian, big: true }))).toEqual(six);
    });

    it.each([
      ["i16", 16, 2, [-32_768, -1, 0, 1, 2, 32_767]],
      ["u32", 32, 1, [0, 1, 65_536, 70_000, 4_000_000_000, 4_294_967_295]],
      ["i32", 32, 2, [-2_147_483_648, -1, 0, 1, 2, 2_147_483_647]],
      ["f32", 32, 3, [-1.5, 0, 0.25, 1e10, -1e-10, 3]],
      ["f64", 64, 3, [-1.5, 0, 0.1, 1e100, -1e-100, 3]],
    ] as const)(`reads %s, ${order}-endian`, (kind, bits, format, samples) => {
      const stored = kind === "f32" ? Array.from(Float32Array.from(samples)) : [...samples];
      const page = {
        tags: greyTags(3, 2, bits, { 339: [format] }),
        segments: [valuesAsBytes(samples, kind, littleEndian)],
      };
      expect(values(tiffFile([page], { littleEndian }))).toEqual(stored);
    });
  }

  it("reads signed 8-bit samples", () => {
    const page = { tags: greyTags(2, 1, 8, { 339: [2] }), segments: [Uint8Array.of(0x80, 0x7f)] };
    expect(read(tiffFile([page])).samples).toEqual(Int8Array.of(-128, 127));
  });

  it("unpacks 12-bit samples, most significant bit first, rows starting on a byte", () => {
    // 0xabc, 0x123, 0xfff in five bytes, then 0x001, 0x800, 0x7ff.
    const rows = Uint8Array.of(0xab, 0xc1, 0x23, 0xff, 0xf0, 0x00, 0x18, 0x00, 0x7f, 0xf0);
    const picture = read(tiffFile([{ tags: greyTags(3, 2, 12), segments: [rows] }]));
    expect(picture.samples).toEqual(Uint16Array.of(0xabc, 0x123, 0xfff, 0x001, 0x800, 0x7ff));
    expect(picture.bits).toBe(12);
  });

  it("unpacks 10-bit and 1-bit samples", () => {
    const ten = Uint8Array.of(0b11111111, 0b11_000000, 0b0001_1000, 0b000000_00);
    expect(values(tiffFile([{ tags: greyTags(3, 1, 10), segments: [ten] }]))).toEqual([1023, 1, 512]);
    const one = Uint8Array.of(0b10110000, 0b01100000);
    expect(values(tiffFile([{ tags: greyTags(4, 2, 1), segments: [one] }]))).toEqual([
      1, 0, 1, 1, 0, 1, 1, 0,
    ]);
  });

  it("reads half floats", () => {
    // 1, -2, 65504 (largest), 2^-24 (smallest), 0.333251953125: the IEEE 754 half-precision examples.
    const halves = [0x3c00, 0xc000, 0x7bff, 0x0001, 0x3555];
    const page = { tags: greyTags(5, 1, 16, { 339: [3] }), segments: [valuesAsBytes(halves, "u16")] };
    const picture = read(tiffFile([page]));
    expect(picture.samples).toEqual(Float32Array.of(1, -2, 65504, 2 ** -24, 0.333251953125));
  });
});

describe("strips, tiles and planes", () => {
  it("reads strips of which the last is shorter", () => {
    const segments = [Uint8Array.of(1, 2, 3, 4), Uint8Array.of(5, 6)];
    expect(values(tiffFile([{ tags: greyTags(2, 3, 8, { 278: [2] }), segments }]))).toEqual([
      1, 2, 3, 4, 5, 6,
    ]);
  });

  it("reads tiles and leaves out what lies beyond the edge", () => {
    const tile = (first: number): Uint8Array => Uint8Array.from({ length: 4 }, (_, i) => first + i);
    const tags = { ...greyTags(3, 3, 8), 278: [], 322: [2], 323: [2] };
    const segments = [tile(10), tile(20), tile(30), tile(40)];
    expect(values(tiffFile([{ tags, segments, tiled: true }]))).toEqual([10, 11, 20, 12, 13, 22, 30, 31, 40]);
  });

  it("interleaves separate planes", () => {
    const tags = { ...greyTags(2, 1, 8), 258: [8, 8, 8], 262: [2], 277: [3], 284: [2] };
    const segments = [Uint8Array.of(1, 2), Uint8Array.of(3, 4), Uint8Array.of(5, 6)];
    const picture = read(tiffFile([{ tags, segments }]));
    expect(Array.from(picture.samples)).toEqual([1, 3, 5, 2, 4, 6]);
    expect(picture.photometric).toBe("colour");
  });

  it("finds byte counts that an old writer left out", () => {
    const tags = { ...greyTags(2, 2, 8), 279: [] };
    expect(values(tiffFile([{ tags, segments: [Uint8Array.of(1, 2, 3, 4)] }]))).toEqual([1, 2, 3, 4]);
  });
});

describe("compressions and predictors", () => {
  const differences = valuesAsBytes([1, 1, 298, 4000, 46_000, 15_535], "u16");

  it.each([
    ["LZW", 5, encodeLzw],
    ["deflate", 8, (bytes: Uint8Array) => new Uint8Array(deflateSync(bytes))],
    ["deflate by its old number", 32946, (bytes: Uint8Array) => new Uint8Array(deflateSync(bytes))],
  ])("undoes %s with predictor 2", (_, compression, encode) => {
    const tags = greyTags(3, 2, 16, { 259: [compression], 317: [2] });
    expect(values(tiffFile([{ tags, segments: [encode(differences)] }]))).toEqual(six);
  });

  it("undoes predictor 2 big-endian, over several strips", () => {
    const strip = (row: readonly number[]): Uint8Array => encodeLzw(valuesAsBytes(row, "u16", false));
    const tags = greyTags(3, 2, 16, { 259: [5], 317: [2], 278: [1] });
    const segments = [strip([1, 1, 298]), strip([4000, 46_000, 15_535])];
    expect(values(tiffFile([{ tags, segments }], { littleEndian: false }))).toEqual(six);
  });

  it("undoes predictor 2 on colours, channel by channel", () => {
    const tags = { ...greyTags(2, 1, 8), 258: [8, 8, 8], 259: [5], 262: [2], 277: [3], 317: [2] };
    const segments = [encodeLzw(Uint8Array.of(10, 20, 30, 1, 2, 255))];
    expect(values(tiffFile([{ tags, segments }]))).toEqual([10, 20, 30, 11, 22, 29]);
  });

  it("undoes predictor 3", () => {
    // 1 = 3f800000 and 2 = 40000000: planes 3f 40, 80 00, 00 00, 00 00, then byte differences.
    const planes = Uint8Array.of(0x3f, 0x01, 0x40, 0x80, 0x00, 0x00, 0x00, 0x00);
    const tags = greyTags(2, 1, 32, { 259: [8], 317: [3], 339: [3] });
    expect(values(tiffFile([{ tags, segments: [new Uint8Array(deflateSync(planes))] }]))).toEqual([1, 2]);
  });

  it("undoes PackBits", () => {
    const tags = greyTags(6, 1, 8, { 259: [32773] });
    expect(values(tiffFile([{ tags, segments: [Uint8Array.of(0xfe, 7, 2, 1, 2, 3)] }]))).toEqual([
      7, 7, 7, 1, 2, 3,
    ]);
  });

  it("reverses bits in fill order 2", () => {
    const tags = greyTags(2, 1, 8, { 266: [2] });
    expect(values(tiffFile([{ tags, segments: [Uint8Array.of(0b10000000, 0b11010000)] }]))).toEqual([
      1, 0b1011,
    ]);
  });
});

describe("what the tags say beside the pixels", () => {
  const one = { tags: greyTags(1, 1, 8), segments: [Uint8Array.of(7)] };

  it("reports min-is-white and leaves the samples alone", () => {
    const picture = read(tiffFile([{ ...one, tags: { ...one.tags, 262: [0] } }]));
    expect(picture.photometric).toBe("min-is-white");
    expect(Array.from(picture.samples)).toEqual([7]);
  });

  it("marks a palette picture and hands its colours over", () => {
    const planes = [0, 256, 512, 1, 257, 513];
    const picture = read(tiffFile([{ ...one, tags: { ...one.tags, 262: [3], 320: planes } }]));
    expect(picture.photometric).toBe("palette");
    expect(picture.palette).toEqual(Uint16Array.of(0, 512, 257, 256, 1, 513));
  });

  it.each([
    [2, 254, "inch", 100],
    [3, 100, "centimetre", 100],
  ])("turns resolution unit %i into a tagged pitch", (unit, perUnit, name, pitch) => {
    const tags = { ...one.tags, 282: [perUnit], 283: [2 * perUnit], 296: [unit] };
    const { taggedPitch } = read(tiffFile([{ ...one, tags }]));
    expect(taggedPitch?.umPerPxX).toBeCloseTo(pitch, 6);
    expect(taggedPitch?.umPerPxY).toBeCloseTo(pitch / 2, 6);
    expect(taggedPitch?.source).toContain(name);
  });

  it.each([
    [1, 72],
    [2, 0],
  ])("gives no pitch for unit %i and resolution %i", (unit, perUnit) => {
    const tags = { ...one.tags, 282: [perUnit], 283: [perUnit], 296: [unit] };
    expect(read(tiffFile([{ ...one, tags }])).taggedPitch).toBeUndefined();
  });

  it("notes extra samples and an orientation that is not applied", () => {
    const tags = { ...one.tags, 258: [8, 8], 277: [2], 338: [2], 274: [6] };
    const { notes, channels } = read(tiffFile([{ tags, segments: [Uint8Array.of(7, 255)] }]));
    expect(channels).toBe(2);
    expect(notes.join("\n")).toMatch(/2 samples a pixel[\s\S]*orientation tag 6: not applied/);
  });
});

describe("pages", () => {
  const page = (value: number, more = {}) => ({
    tags: greyTags(1, 1, 8, more),
    segments: [Uint8Array.of(value)],
  });

  it("reads the first page, says so, and reads another when asked", () => {
    const file = tiffFile([page(1), page(2), page(3)]);
    expect(read(file)).toMatchObject({ pages: 3, page: 0, notes: ["page 1 of 3 was read"] });
    expect(Array.from(read(file, 2).samples)).toEqual([3]);
    expect(() => read(file, 3)).toThrow(/Page 3 was asked for and the file has 3/);
    expect(() => read(file, -1)).toThrow(expect.objectContaining({ code: "no-such-page" }));
  });

  it("leaves thumbnails out, wherever they stand", () => {
    const file = tiffFile([page(1, { 254: [1] }), page(2), page(3, { 255: [2] })]);
    expect(Array.from(read(file).samples)).toEqual([2]);
    expect(read(file)).toMatchObject({ pages: 1, notes: ["2 reduced-size or mask page(s) left aside"] });
  });

  it("stops at a page list that loops", () => {
    const picture = read(tiffFile([page(1), page(2)], { last: "first" }));
    expect(picture.pages).toBe(2);
    expect(picture.notes[0]).toContain("loops after page 2");
  });
});
