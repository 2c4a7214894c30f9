import { deflateSync, inflateSync } from "node:zlib";
import { describe, expect, it } from "vitest";
import type { Codecs } from "../formats/codecs.ts";
import { readPicture } from "../formats/read-picture.ts";
import { encodeTiff } from "./encode-tiff.ts";

const codecs: Codecs = {
  inflate: (bytes) => inflateSync(bytes),
  decodeJpeg: () => Promise.reject(new Error("not a JPEG")),
};

describe("encodeTiff", () => {
  const samples = Uint16Array.from({ length: 35 }, (_, i) => (i * 137) % 4096);

  it("is read back sample by sample, plain and deflated, 16 and 8 bits", async () => {
    for (const bits of [8, 16] as const) {
      const fit = samples.map((v) => (bits === 8 ? v & 255 : v));
      for (const deflate of [undefined, deflateSync]) {
        const picture = await readPicture(encodeTiff(fit, 7, 5, bits, false, deflate), { codecs });
        expect([picture.widthPx, picture.heightPx, picture.bits]).toEqual([7, 5, bits]);
        expect(Array.from(picture.samples)).toEqual(Array.from(fit));
        expect(picture.photometric).toBe("min-is-black");
      }
    }
  });

  it("holds a description of an even or odd number of letters, samples untouched", async () => {
    for (const description of ["INVENTED", "INVENTED part"]) {
      const bytes = encodeTiff(samples, 7, 5, 16, false, deflateSync, description);
      const picture = await readPicture(bytes, { codecs });
      expect(Array.from(picture.samples)).toEqual(Array.from(samples));
      expect(new TextDecoder("latin1").decode(bytes)).toContain(`${description}\0`);
    }
  });

  it("says which way grey runs", async () => {
    const picture = await readPicture(encodeTiff(samples, 7, 5, 16, true), { codecs });
    expect(picture.photometric).toBe("min-is-white");
  });
});
