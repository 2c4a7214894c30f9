import * as fc from "fast-check";
import { describe, expect, it } from "vitest";
import { encodeLzw } from "../../../test/fixtures/formats/lzw-encoder.ts";
import { decodeLzw } from "./lzw.ts";

function decode(input: Uint8Array, size: number): number[] {
  const out = new Uint8Array(size);
  const written = decodeLzw(input, out);
  return Array.from(out.subarray(0, written));
}

/** Codes of 9 bits as bytes. */
function nineBits(...codes: readonly number[]): Uint8Array {
  const text = codes.map((code) => code.toString(2).padStart(9, "0")).join("");
  const bytes = text.match(/.{1,8}/g) ?? [];
  return Uint8Array.from(bytes, (byte) => Number.parseInt(byte.padEnd(8, "0"), 2));
}

describe("decodeLzw", () => {
  it("decodes the worked example of TIFF 6.0, section 13", () => {
    // 7 7 7 8 8 7 7 6 6 is written as clear, 7, 258, 8, 8, 258, 6, 6, end.
    const input = nineBits(256, 7, 258, 8, 8, 258, 6, 6, 257);
    expect(decode(input, 20)).toEqual([7, 7, 7, 8, 8, 7, 7, 6, 6]);
  });

  it("decodes a code that is being defined by itself", () => {
    expect(decode(nineBits(256, 5, 258, 259, 257), 20)).toEqual([5, 5, 5, 5, 5, 5]);
  });

  it("stops at the end of the output, inside a string", () => {
    expect(decode(nineBits(256, 5, 258, 259, 257), 4)).toEqual([5, 5, 5, 5]);
  });

  it("returns what there was when the input ends", () => {
    expect(decode(nineBits(256, 5, 6), 20)).toEqual([5, 6]);
    expect(decode(new Uint8Array(0), 20)).toEqual([]);
  });

  it("refuses a code before its definition", () => {
    expect(() => decode(nineBits(256, 5, 260), 20)).toThrow(/code 260 comes before/);
    expect(() => decode(nineBits(256, 258), 20)).toThrow(/before/);
  });

  it.each([4094, 100_000])("decodes long data with the table cleared at %i entries", (clearAt) => {
    // A fixed congruential sequence: enough distinct strings to pass every code width and fill the table.
    let state = 1;
    const bytes = Uint8Array.from({ length: 60_000 }, (_, i) => {
      state = (state * 1_103_515_245 + 12_345) % 2_147_483_648;
      return i % 7 === 0 ? state >> 16 : i >> 4;
    });
    expect(decode(encodeLzw(bytes, clearAt), bytes.length)).toEqual(Array.from(bytes));
  });

  it("undoes the plain encoder for any bytes", () => {
    const few = fc.array(fc.integer({ min: 0, max: 3 }), { maxLength: 3000 });
    const many = fc.array(fc.integer({ min: 0, max: 255 }), { maxLength: 2000 });
    fc.assert(
      fc.property(fc.oneof(few, many), (values) => {
        const bytes = Uint8Array.from(values);
        // One byte more of output than there is, so that the end code is met as well.
        expect(decode(encodeLzw(bytes), bytes.length + 1)).toEqual(values);
      }),
      { numRuns: 150, seed: 7 },
    );
  });
});
