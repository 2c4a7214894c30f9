import { readFileSync } from "node:fs";
import { join } from "node:path";
import * as fc from "fast-check";
import { describe, expect, it } from "vitest";
import { pngChunk, pngFile, pngHeader } from "../../test/fixtures/formats/png-file.ts";
import { projectRoot } from "../../test/support/needs.ts";
import { codecs } from "../cli/codecs.ts";
import { UnreadablePictureError } from "./errors.ts";
import { readPicture } from "./read-picture.ts";

const folder = join(projectRoot, "test", "fixtures", "formats");
const seeds = [
  "lzw-predictor-16.tif",
  "deflate-predictor-16.tif",
  "packbits-1.tif",
  "tiled-planar-rgb-8.tif",
  "bigtiff-16.tif",
  "big-endian-float.tif",
  "two-pages-16.tif",
  "grey-16.png",
  "grey-1.png",
  "grey.jpg",
];
const limits = { maxPixels: 4_000_000, maxMemoryBytes: 64 * 1024 * 1024 };
const slowMillis = 2000;

/** Whatever the bytes, either whole pixels or the one error of the readers, soon. */
async function endsWell(bytes: Uint8Array): Promise<"pixels" | "refused"> {
  const start = performance.now();
  try {
    const picture = await readPicture(bytes, { codecs, limits });
    expect(picture.samples.length).toBe(picture.widthPx * picture.heightPx * picture.channels);
    return "pixels";
  } catch (error) {
    if (!(error instanceof UnreadablePictureError)) throw error;
    return "refused";
  } finally {
    expect(performance.now() - start).toBeLessThan(slowMillis);
  }
}

/** Bytes changed, cut away and put in: most near the head, where the structure lies. */
function mutationsOf(bytes: Uint8Array): fc.Arbitrary<Uint8Array> {
  const place = fc.oneof(fc.nat({ max: Math.min(400, bytes.length - 1) }), fc.nat({ max: bytes.length - 1 }));
  const fromEnd = fc.nat({ max: Math.min(400, bytes.length - 1) }).map((back) => bytes.length - 1 - back);
  const value = fc.oneof(fc.constantFrom(0, 1, 0x7f, 0x80, 0xff), fc.integer({ min: 0, max: 255 }));
  const edits = fc.array(fc.tuple(fc.oneof(place, fromEnd), value), { minLength: 1, maxLength: 6 });
  const cut = fc.option(fc.nat({ max: bytes.length }), { freq: 4 });
  return fc.tuple(edits, cut).map(([changes, end]) => {
    const out = bytes.slice();
    for (const [at, byte] of changes) out[at] = byte;
    return end === null ? out : out.subarray(0, end);
  });
}

describe("bytes that were changed", () => {
  for (const name of seeds) {
    it(`end in pixels or in a refusal: ${name}`, async () => {
      const bytes = new Uint8Array(readFileSync(join(folder, name)));
      expect(await endsWell(bytes)).toBe("pixels");
      const seen = new Set<string>();
      await fc.assert(
        fc.asyncProperty(mutationsOf(bytes), async (mutated) => {
          seen.add(await endsWell(mutated));
        }),
        { numRuns: 400, seed: 20_251 },
      );
      // Changes that never spoil a file, or always do, would test little.
      expect(seen).toContain("refused");
    });
  }

  it("end in pixels or in a refusal when PNG checksums are right", async () => {
    const header = fc.tuple(
      fc.integer({ min: 0, max: 40 }),
      fc.integer({ min: 0, max: 40 }),
      fc.constantFrom(1, 2, 4, 8, 16, 3),
      fc.constantFrom(0, 2, 3, 4, 6, 5),
      fc.constantFrom(0, 1),
    );
    const data = fc.uint8Array({ maxLength: 2000 });
    const between = fc.option(fc.tuple(fc.constantFrom("PLTE", "pHYs", "gAMA", "sBIT", "tRNS"), data));
    await fc.assert(
      fc.asyncProperty(header, data, between, async (fields, filtered, extra) => {
        const chunks = extra === null ? [] : [pngChunk(extra[0], extra[1])];
        await endsWell(pngFile(pngHeader(...fields), filtered, ...chunks));
      }),
      { numRuns: 400, seed: 20_252 },
    );
  });

  it("end in a refusal when they are any bytes at all", async () => {
    const heads = ["II*\0", "MM\0*", "II+\0\x08\0\0\0", "\x89PNG\r\n\x1a\n", "\xff\xd8\xff", ""];
    const head = fc.constantFrom(...heads.map((text) => Array.from(text, (c) => c.charCodeAt(0))));
    await fc.assert(
      fc.asyncProperty(head, fc.uint8Array({ maxLength: 300 }), async (start, rest) => {
        expect(await endsWell(Uint8Array.from([...start, ...rest]))).toBe("refused");
      }),
      { numRuns: 600, seed: 20_253 },
    );
  });
});
