import { describe, expect, it } from "vitest";
import { pngFile, pngHeader } from "../../test/fixtures/formats/png-file.ts";
import { greyTags, tiffFile } from "../../test/fixtures/formats/tiff-file.ts";
import { codecs } from "../cli/codecs.ts";
import { UnreadablePictureError, unreadableCodes } from "./errors.ts";
import { defaultLimits } from "./limits.ts";
import { readPicture } from "./read-picture.ts";
import { formats, recogniseFormat } from "./registry.ts";

const tiff = tiffFile([{ tags: greyTags(1, 1, 8), segments: [Uint8Array.of(7)] }]);

/** Bytes of a string, one a character, padded with zeros to 16. */
function bytes(text: string): Uint8Array {
  const out = new Uint8Array(Math.max(16, text.length));
  for (let i = 0; i < text.length; i++) out[i] = text.charCodeAt(i);
  return out;
}

async function refusal(data: Uint8Array): Promise<UnreadablePictureError> {
  const error = await readPicture(data, { codecs }).then(
    () => undefined,
    (reason: unknown) => reason,
  );
  if (error instanceof UnreadablePictureError) return error;
  throw error ?? new Error("it was read");
}

describe("readPicture", () => {
  it("takes the kind from the bytes", async () => {
    expect((await readPicture(tiff, { codecs })).format).toBe("tiff");
    const png = pngFile(pngHeader(1, 1, 8, 0), Uint8Array.of(0, 7));
    expect((await readPicture(png, { codecs })).format).toBe("png");
  });

  it("reads bytes that lie at odd places of a larger buffer", async () => {
    const wide = tiffFile([{ tags: greyTags(2, 1, 16), segments: [Uint8Array.of(1, 0, 2, 0)] }]);
    const room = new Uint8Array(wide.length + 3);
    room.set(wide, 3);
    const picture = await readPicture(room.subarray(3), { codecs });
    expect(picture.samples).toEqual(Uint16Array.of(1, 2));
  });

  it("hands over samples that the file's bytes do not share", async () => {
    const copy = tiff.slice();
    const picture = await readPicture(copy, { codecs });
    copy.fill(0);
    expect(Array.from(picture.samples)).toEqual([7]);
  });

  it.each([
    ["jpeg-ls", "\xff\xd8\xff\xf7\0\x0b"],
    ["dicom-bare", "\x08\0\x05\0CS\x0a\0ISO_IR 100"],
    ["dicom-bare", "\x08\0\x05\0\x0a\0\0\0ISO_IR 100"],
    ["dicom-bare", "\0\x08\0\x05CS\0\x0aISO_IR 100"],
    ["htj2k", "\0\0\0\x0cjP  \r\n\x87\n\0\0\0\x14ftypjph "],
    ["htj2k", "\xff\x4f\xff\x51\0\x29\x40\0"],
    ["jpeg-2000", "\0\0\0\x0cjP  \r\n\x87\n\0\0\0\x14ftypjp2 "],
    ["jpeg-2000", "\xff\x4f\xff\x51\0\x29\0\0"],
    ["jpeg-xl", "\xff\x0a\x01"],
    ["gif", "GIF89a\x01\0"],
    ["bmp", "BM\x10\0\0\0\0\0\0\0"],
    ["webp", "RIFF\x10\0\0\0WEBPVP8 "],
    ["heif", "\0\0\0\x1cftypavif"],
    ["pnm", "P5\n1 1\n255\n\0"],
    ["fits", "SIMPLE  =                    T"],
    ["hdf5", "\x89HDF\r\n\x1a\n"],
    ["numpy", "\x93NUMPY\x01\0"],
    ["ole", "\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1"],
    ["pdf", "%PDF-1.7\n"],
    ["gzip", "\x1f\x8b\x08\0"],
    ["zip", "PK\x03\x04\x14\0"],
    ["text", "part,lot,date code\n"],
  ])("names %s in its refusal", async (id, head) => {
    const data = id === "text" ? bytes(head).subarray(0, head.length) : bytes(head);
    const format = recogniseFormat(data);
    expect(format?.id).toBe(id);
    const error = await refusal(data);
    expect(error.code).toBe("unsupported-format");
    expect(error.message).toContain(format?.name);
  });

  it("takes a DICOM file with a TIFF preamble for DICOM", async () => {
    const dual = new Uint8Array(140);
    dual.set(tiff.subarray(0, 8));
    dual.set([0x44, 0x49, 0x43, 0x4d], 128);
    expect((await refusal(dual)).message).toContain("DICOM");
  });

  it("refuses an empty file, unknown bytes and a file over the limit", async () => {
    expect((await refusal(new Uint8Array(0))).code).toBe("empty-file");
    const unknown = await refusal(Uint8Array.of(0, 1, 2, 3, 4, 5, 6, 7));
    expect(unknown.code).toBe("unknown-format");
    expect(unknown.message).toContain("width, height and type");
    const asked = readPicture(tiff, { codecs, limits: { maxFileBytes: 10 } });
    await expect(asked).rejects.toMatchObject({ code: "too-large" });
  });

  it("says in every refusal what came, what was expected and what to do", async () => {
    const error = await refusal(new Uint8Array(0));
    expect(error.message).toBe(
      "The file is empty (0 bytes); expected a picture. Copy the file again from where it was made.",
    );
    expect(unreadableCodes).toContain(error.code);
  });
});

describe("registry", () => {
  it("has one entry a format, and a version for each that is read", () => {
    expect(new Set(formats.map(({ id }) => id)).size).toBe(formats.length);
    const read = formats.filter((format) => format.read !== undefined);
    expect(read.map(({ id }) => id)).toEqual(["tiff", "png", "jpeg"]);
  });

  it("keeps the default limits of one read below 1 GiB with 128 MiB for the runtime", () => {
    expect(defaultLimits.maxMemoryBytes).toBeLessThanOrEqual((1024 - 128) * 1024 * 1024);
    // An uncompressed 16-bit file of the most pixels allowed, and its samples, fit in it.
    expect(2 * 2 * defaultLimits.maxPixels).toBeLessThan(defaultLimits.maxMemoryBytes);
  });
});
