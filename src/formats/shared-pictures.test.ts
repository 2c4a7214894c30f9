import { createHash } from "node:crypto";
import { readdirSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { expect, it } from "vitest";
import { describeNeeding, needsShared, projectRoot, sharedPath } from "../../test/support/needs.ts";
import { codecs } from "../cli/codecs.ts";
import type { Picture } from "../radiograph/picture.ts";
import { UnreadablePictureError } from "./errors.ts";
import { readPicture } from "./read-picture.ts";

/** Rows of a CSV with a header line; quotes only around cells with commas. */
function csvRows(text: string): Record<string, string>[] {
  const [header, ...lines] = text.trim().split(/\r?\n/);
  const cells = (line: string): string[] =>
    Array.from(line.matchAll(/(?:^|,)(?:"([^"]*)"|([^,]*))/g), (match) => match[1] ?? match[2] ?? "");
  const names = cells(header);
  return lines.map((line) => Object.fromEntries(cells(line).map((cell, i) => [names[i], cell])));
}

function hash(samples: Picture["samples"]): string {
  const bytes = new Uint8Array(samples.buffer, samples.byteOffset, samples.byteLength);
  return createHash("sha256").update(bytes).digest("hex").slice(0, 16);
}

/** tifffile keeps separate planes apart and half floats as they are; we interleave and widen. Undo both. */
function asTifffile(picture: Picture, row: Record<string, string>): string {
  let samples = picture.samples;
  if (row.planar === "SEPARATE" && picture.channels > 1) {
    const { channels } = picture;
    const pixels = samples.length / channels;
    const planes = samples.slice();
    for (let i = 0; i < samples.length; i++)
      planes[(i % channels) * pixels + Math.floor(i / channels)] = samples[i];
    samples = planes;
  }
  return row.dtype === "float16" ? hash(toHalves(samples)) : hash(samples);
}

/** The 16 bits of floats that came from halves: exact for normal values, zero and the smallest. */
function toHalves(values: Picture["samples"]): Uint16Array {
  return Uint16Array.from(values, (value) => {
    const sign = value < 0 || Object.is(value, -0) ? 0x8000 : 0;
    const size = Math.abs(value);
    if (size < 2 ** -14) return sign | Math.round(size * 2 ** 24);
    const exponent = Math.floor(Math.log2(size));
    return sign | ((exponent + 15) << 10) | Math.round((size / 2 ** exponent - 1) * 1024);
  });
}

/** "equal", "differs", or the code of the refusal; any other error fails the test. */
async function outcome(file: string, isEqual: (picture: Picture) => boolean): Promise<string> {
  try {
    return isEqual(await readPicture(readFileSync(sharedPath(file)), { codecs })) ? "equal" : "differs";
  } catch (error) {
    if (error instanceof UnreadablePictureError) return error.code;
    throw error;
  }
}

function count(outcomes: Iterable<string>): Record<string, number> {
  const counts: Record<string, number> = {};
  for (const each of outcomes) counts[each] = (counts[each] ?? 0) + 1;
  return counts;
}

describeNeeding(needsShared("pictures/EXPECTED_tiff.csv"), "TIFF files against tifffile and Pillow", () => {
  const rows = csvRows(readFileSync(sharedPath("pictures/EXPECTED_tiff.csv"), "utf8"));

  it("reproduces every hash on which both decoders agree, or names what it does not read", async () => {
    const trusted = rows.filter((row) => row.decoders_agree === "1");
    const outcomes = new Map<string, string>();
    for (const row of trusted) {
      const is = await outcome(
        `pictures/${row.file}`,
        ({ samples }) => hash(samples) === row.sha256_tifffile,
      );
      outcomes.set(row.file, is);
    }
    console.log(
      `TIFF, both decoders agree: ${trusted.length} files, ${JSON.stringify(count(outcomes.values()))}`,
    );
    expect([...outcomes].filter(([, is]) => is !== "equal" && is !== "unsupported-feature")).toEqual([]);
    expect(count(outcomes.values()).equal).toBeGreaterThanOrEqual(89);
  });

  it("reproduces the hashes that tifffile alone gives", async () => {
    const alone = rows.filter((row) => row.decoders_agree !== "1" && row.sha256_tifffile !== "");
    const outcomes = new Map<string, string>();
    for (const row of alone) {
      const is = await outcome(
        `pictures/${row.file}`,
        (picture) => asTifffile(picture, row) === row.sha256_tifffile,
      );
      outcomes.set(row.file, is);
    }
    console.log(
      `TIFF, tifffile alone or Pillow otherwise: ${alone.length} files, ${JSON.stringify(count(outcomes.values()))}`,
    );
    expect([...outcomes].filter(([, is]) => is === "differs")).toEqual([]);
  });

  it("reproduces the hashes that Pillow alone gives where Pillow keeps samples as stored", async () => {
    // Pillow stretches 2 and 4 bits, keeps 8 of 16 bits in colour, and divides by associated alpha.
    const asStored = (row: Record<string, string>): boolean =>
      row.pil_mode === "1" || (row.bits === "8" && row.pil_mode !== "RGBA") || row.pil_mode.startsWith("I");
    const alone = rows.filter((row) => row.sha256_tifffile === "" && row.sha256_pil !== "" && asStored(row));
    const outcomes = new Map<string, string>();
    for (const row of alone) {
      outcomes.set(
        row.file,
        await outcome(`pictures/${row.file}`, ({ samples }) => hash(samples) === row.sha256_pil),
      );
    }
    console.log(
      `TIFF, Pillow alone (LZW and packed bits): ${alone.length} files, ${JSON.stringify(count(outcomes.values()))}`,
    );
    expect([...outcomes].filter(([, is]) => is === "differs")).toEqual([]);
    expect(count(outcomes.values()).equal).toBeGreaterThan(20);
  });
});

describeNeeding(needsShared("simulated"), "simulated TIFF files against OpenCV", () => {
  const path = join(projectRoot, "test", "fixtures", "formats", "simulated-tiff-hashes.csv");
  const rows = csvRows(readFileSync(path, "utf8"));

  it("reproduces every hash and refuses what OpenCV cannot read", async () => {
    const wrong: string[] = [];
    for (const { file, sha256_opencv: expected } of rows) {
      const is = await outcome(file, ({ samples }) => hash(samples) === expected);
      if (
        expected === "" ? !["truncated", "empty-file", "unsupported-format"].includes(is) : is !== "equal"
      ) {
        wrong.push(`${file}: ${is}`);
      }
    }
    expect(wrong).toEqual([]);
    expect(rows.length).toBeGreaterThan(100);
  });
});

describeNeeding(needsShared("pictures/tiff/image-tiff/seq"), "TIFF files that count", () => {
  // Sample i holds i modulo 2^bits; planes start 100 apart; min-is-white is stored as the complement.
  const folder = "pictures/tiff/image-tiff/seq";
  const counting = /^seq-(1c|3c)-(\d+)b-(?:contig-|planar-|miniswhite-|hpredict-)?[0-9a-f]{8}\.tiff$/;
  const files = readdirSync(sharedPath(folder)).filter(
    (name) => counting.test(name) && !/24b|1b-f/.test(name),
  );

  it.each(files)("unpacks %s", async (name) => {
    const { samples, bits, channels, photometric } = await readPicture(
      readFileSync(sharedPath(`${folder}/${name}`)),
      { codecs },
    );
    const top = 2 ** bits - 1;
    const expected = Array.from(samples, (_, i) => {
      if (name.includes("planar")) return Math.floor(i / channels) + 100 * (i % channels);
      return photometric === "min-is-white" ? top - (i % (top + 1)) : i % (top + 1);
    });
    expect(Array.from(samples)).toEqual(expected);
  });

  it("covers the widths that neither library unpacks", () => {
    const widths = new Set(files.map((name) => Number(counting.exec(name)?.[2])));
    expect([...widths].sort((a, b) => a - b)).toEqual([1, 2, 3, 4, 5, 6, 7, 10, 12, 14]);
  });
});

/** Read by Pillow or OpenCV and refused here: image data whose checksum is wrong. */
const stricter: Readonly<Record<string, string>> = {
  "pictures/png/bugfixes/x_interlaced_chck.png": "damaged",
  "pictures/png/pngsuite/xcsn0g01.png": "damaged",
};

describeNeeding(needsShared("pictures/png"), "PNG files against Pillow and OpenCV", () => {
  const path = join(projectRoot, "test", "fixtures", "formats", "png-hashes.csv");
  const rows = csvRows(readFileSync(path, "utf8"));

  it("reproduces the hashes of either decoder, and refuses what neither reads", async () => {
    const wrong: string[] = [];
    const outcomes: string[] = [];
    for (const row of rows) {
      const hashes = [row.sha256_pillow, row.sha256_opencv].filter((each) => each !== "");
      const is = await outcome(
        row.file,
        ({ samples }) => hashes.every((each) => each === hash(samples)) && hashes.length > 0,
      );
      outcomes.push(`${hashes.length} of 2 decoders, here ${is}`);
      const refused = is !== "equal" && is !== "differs";
      if (hashes.length > 0 ? is !== "equal" && stricter[row.file] !== is : !refused)
        wrong.push(`${row.file}: ${is}`);
    }
    console.log(`PNG: ${rows.length} files, ${JSON.stringify(count(outcomes))}`);
    expect(wrong).toEqual([]);
  });
});
