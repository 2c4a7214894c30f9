import { deflateSync } from "node:zlib";
import { describe, expect, it } from "vitest";
import {
  filterRows,
  joinBytes,
  pngChunk,
  pngFile,
  pngHeader,
  pngSignature,
} from "../../../test/fixtures/formats/png-file.ts";
import { codecs } from "../../cli/codecs.ts";
import { UnreadablePictureError } from "../errors.ts";
import type { Limits } from "../limits.ts";
import { defaultLimits } from "../limits.ts";
import { crc32 } from "./crc32.ts";
import { readPng } from "./read-png.ts";

function read(bytes: Uint8Array, limits: Partial<Limits> = {}) {
  return readPng(bytes, { codecs, limits: { ...defaultLimits, ...limits } });
}

function refusal(bytes: Uint8Array, limits: Partial<Limits> = {}): UnreadablePictureError {
  try {
    read(bytes, limits);
  } catch (error) {
    if (error instanceof UnreadablePictureError) return error;
    throw error;
  }
  throw new Error("it was read");
}

/** One grey 2 x 2 picture of 1, 2, 3, 4, with chunks of choice before its data. */
function small(...between: readonly Uint8Array[]): Uint8Array {
  return pngFile(pngHeader(2, 2, 8, 0), Uint8Array.of(0, 1, 2, 0, 3, 4), ...between);
}

function noisy(length: number): Uint8Array {
  let state = 11;
  return Uint8Array.from({ length }, () => {
    state = (state * 1_103_515_245 + 12_345) % 2_147_483_648;
    return state >> 16;
  });
}

describe("depths and colours", () => {
  it.each([
    [1, [0b10100000], [1, 0, 1]],
    [2, [0b11100100], [3, 2, 1]],
    [4, [0xf1, 0x20], [15, 1, 2]],
    [8, [255, 0, 7], [255, 0, 7]],
    [16, [0x12, 0x34, 0xff, 0xff, 0, 1], [0x1234, 0xffff, 1]],
  ])("reads %i-bit grey as stored", (bits, row, expected) => {
    const picture = read(pngFile(pngHeader(3, 1, bits, 0), Uint8Array.of(0, ...row)));
    expect(Array.from(picture.samples)).toEqual(expected);
    expect(picture).toMatchObject({
      format: "png",
      bits,
      channels: 1,
      photometric: "min-is-black",
      notes: [],
    });
    expect(picture.samples).toBeInstanceOf(bits === 16 ? Uint16Array : Uint8Array);
  });

  it.each([
    [2, 3, "colour"],
    [4, 2, "min-is-black"],
    [6, 4, "colour"],
  ] as const)("reads colour type %i as %i interleaved channels", (colourType, channels, photometric) => {
    const row = Array.from({ length: 2 * channels }, (_, i) => i + 1);
    const eight = read(pngFile(pngHeader(2, 1, 8, colourType), Uint8Array.of(0, ...row)));
    expect(eight).toMatchObject({ channels, photometric });
    expect(Array.from(eight.samples)).toEqual(row);
    const wide = row.flatMap((value) => [value, 255]);
    const sixteen = read(pngFile(pngHeader(2, 1, 16, colourType), Uint8Array.of(0, ...wide)));
    expect(Array.from(sixteen.samples)).toEqual(row.map((value) => value * 256 + 255));
  });

  it("marks a palette picture and hands its colours over", () => {
    const palette = pngChunk("PLTE", Uint8Array.of(0, 0, 0, 255, 128, 1));
    const picture = read(pngFile(pngHeader(2, 1, 8, 3), Uint8Array.of(0, 1, 0), palette));
    expect(picture.photometric).toBe("palette");
    expect(Array.from(picture.samples)).toEqual([1, 0]);
    expect(picture.palette).toEqual(Uint16Array.of(0, 0, 0, 65_535, 128 * 257, 257));
    expect(refusal(pngFile(pngHeader(2, 1, 8, 3), Uint8Array.of(0, 1, 0))).message).toContain("palette");
  });
});

describe("filters and interlacing", () => {
  const shapes = [
    [0, 1, 8],
    [0, 1, 16],
    [2, 3, 8],
    [6, 4, 16],
  ] as const;
  for (const [colourType, channels, bits] of shapes) {
    it.each([[[0]], [[1]], [[2]], [[3]], [[4]], [[4, 3, 2, 1, 0]]])(
      `undoes filters %j on colour type ${colourType}, ${bits} bits`,
      (filters) => {
        const width = 9;
        const rowBytes = (width * channels * bits) / 8;
        const bytes = noisy(rowBytes * 8);
        const filtered = filterRows(bytes, rowBytes, (channels * bits) / 8, filters);
        const { samples } = read(pngFile(pngHeader(width, 8, bits, colourType), filtered));
        const expected =
          bits === 8
            ? Array.from(bytes)
            : Array.from({ length: bytes.length / 2 }, (_, i) => bytes[2 * i] * 256 + bytes[2 * i + 1]);
        expect(Array.from(samples)).toEqual(expected);
      },
    );
  }

  it("puts the seven passes of an interlaced picture in their places", () => {
    // The pass of each pixel, as figure 8.1 of the PNG specification prints the 8 x 8 block.
    const passes = [
      "1 6 4 6 2 6 4 6",
      "7 7 7 7 7 7 7 7",
      "5 6 5 6 5 6 5 6",
      "7 7 7 7 7 7 7 7",
      "3 6 4 6 3 6 4 6",
      "7 7 7 7 7 7 7 7",
      "5 6 5 6 5 6 5 6",
      "7 7 7 7 7 7 7 7",
    ].flatMap((line) => line.split(" ").map(Number));
    const widths = [1, 1, 2, 2, 4, 4, 8];
    const heights = [1, 1, 1, 2, 2, 4, 4];
    const rows = widths.flatMap((width, pass) =>
      Array.from({ length: heights[pass] }, () => [0, ...new Array(width).fill(pass + 1)]),
    );
    const picture = read(pngFile(pngHeader(8, 8, 8, 0, 1), Uint8Array.from(rows.flat())));
    expect(Array.from(picture.samples)).toEqual(passes);
  });

  it("leaves out passes that have no pixel", () => {
    const picture = read(pngFile(pngHeader(1, 2, 16, 0, 1), Uint8Array.of(0, 1, 2, 0, 3, 4)));
    expect(Array.from(picture.samples)).toEqual([0x102, 0x304]);
  });
});

describe("other chunks", () => {
  it("turns pHYs into a tagged pitch, and only per metre", () => {
    const physical = (unit: number) =>
      pngChunk("pHYs", Uint8Array.of(0, 0, 0x27, 0x10, 0, 0, 0x4e, 0x20, unit));
    expect(read(small(physical(1))).taggedPitch).toEqual({
      umPerPxX: 100,
      umPerPxY: 50,
      source: "PNG pHYs: 10000 x 20000 per metre",
    });
    expect(read(small(physical(0))).taggedPitch).toBeUndefined();
  });

  it("notes gamma, significant bits, transparency and animation", () => {
    const picture = read(
      small(
        pngChunk("gAMA", Uint8Array.of(0, 0, 0xb1, 0x8f)),
        pngChunk("sBIT", Uint8Array.of(6)),
        pngChunk("tRNS", Uint8Array.of(0, 1)),
        pngChunk("acTL", new Uint8Array(8)),
      ),
    );
    expect(picture.notes.join("\n")).toMatch(
      /tRNS[\s\S]*animated[\s\S]*gamma chunk 0.45455[\s\S]*6 of 8 bits/,
    );
    expect(Array.from(picture.samples)).toEqual([1, 2, 3, 4]);
  });

  it("reads on past a broken chunk that the pixels do not need", () => {
    const broken = pngChunk("zTXt", Uint8Array.of(65, 0, 9, 9, 9), 0x12345678);
    const picture = read(small(broken));
    expect(Array.from(picture.samples)).toEqual([1, 2, 3, 4]);
    expect(picture.notes).toEqual(["wrong checksum on chunk(s) zTXt: ignored, the pixels are not affected"]);
  });

  it("ignores what follows IEND", () => {
    expect(Array.from(read(joinBytes(small(), Uint8Array.of(1, 2, 3))).samples)).toEqual([1, 2, 3, 4]);
  });
});

describe("refusals", () => {
  const end = pngChunk("IEND", new Uint8Array(0));
  const data = pngChunk("IDAT", new Uint8Array(deflateSync(Uint8Array.of(0, 1, 2, 0, 3, 4))));
  const file = (...chunks: readonly Uint8Array[]) => joinBytes(pngSignature, ...chunks);

  it("refuses every cut of a file", () => {
    const whole = small();
    for (let length = 8; length < whole.length; length++) {
      expect(refusal(whole.subarray(0, length)).code).toBe("truncated");
    }
  });

  it("refuses wrong checksums on chunks that the pixels need", () => {
    const header = pngHeader(2, 2, 8, 0);
    const wrong = pngChunk("IDAT", data.subarray(8, -4), 1);
    expect(refusal(file(header, wrong, end)).message).toContain("checksum of IDAT");
    const badHeader = header.slice();
    badHeader[11] ^= 1;
    expect(refusal(file(badHeader, data, end)).message).toContain("checksum of IHDR");
  });

  it.each([
    ["no header", [data, end], "IHDR"],
    ["no data", [pngHeader(2, 2, 8, 0), end], "image data"],
    ["a size of zero", [pngHeader(0, 2, 8, 0), data, end], "0 x 2"],
    ["a depth that does not exist", [pngHeader(2, 2, 3, 0), data, end], "3 bits"],
    ["more rows than data", [pngHeader(2, 3, 8, 0), data, end], "expands to 6"],
    ["fewer rows than data", [pngHeader(2, 1, 8, 0), data, end], "cannot be expanded"],
    [
      "an unknown filter",
      [pngHeader(1, 1, 8, 0), pngChunk("IDAT", new Uint8Array(deflateSync(Uint8Array.of(5, 0)))), end],
      "filter 5",
    ],
    [
      "data in two places",
      [pngHeader(2, 2, 8, 0), data, pngChunk("tEXt", Uint8Array.of(65, 0)), data, end],
      "one run",
    ],
    [
      "a chunk without a name",
      [pngHeader(2, 2, 8, 0), pngChunk("\0\0\0\0", new Uint8Array(0)), end],
      "four letters",
    ],
  ])("refuses %s as damaged", (_, chunks, says) => {
    const error = refusal(file(...chunks));
    expect(error.code).toBe("damaged");
    expect(error.message).toContain(says);
  });

  it("refuses critical chunks it does not know", () => {
    const error = refusal(file(pngHeader(2, 2, 8, 0), pngChunk("ABCD", new Uint8Array(0)), data, end));
    expect(error.code).toBe("unsupported-feature");
    expect(error.message).toContain("ABCD");
  });

  it("refuses a damaged signature", () => {
    const mangled = small();
    mangled.set([0x0d, 0x0a, 0x0d, 0x0a], 4);
    expect(refusal(mangled).message).toContain("text mode");
  });

  it("checks sizes before allocating", () => {
    expect(refusal(file(pngHeader(60_000, 60_000, 16, 6), data, end)).code).toBe("too-large");
    expect(refusal(small(), { maxPixels: 3 }).code).toBe("too-large");
    expect(refusal(small(), { maxMemoryBytes: 50 }).code).toBe("too-large");
    expect(refusal(file(pngHeader(5000, 5000, 8, 0), data, end)).message).toContain("cannot hold");
  });

  it("has one page", () => {
    const ask = () => readPng(small(), { codecs, limits: defaultLimits, page: 1 });
    expect(ask).toThrow(expect.objectContaining({ code: "no-such-page" }));
  });
});

describe("crc32", () => {
  it("gives the check value of CRC-32", () => {
    // "123456789" gives cbf43926 in every catalogue of checksums; from memory.
    const digits = Uint8Array.from("123456789", (digit) => digit.charCodeAt(0));
    expect(crc32(digits)).toBe(0xcbf43926);
  });

  it("agrees with zlib, which the shell hands in", () => {
    const bytes = noisy(1000);
    expect(crc32(bytes)).toBe(codecs.crc32?.(bytes));
  });
});
