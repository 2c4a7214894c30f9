import { describe, expect, it } from "vitest";
import { decodePackBits } from "./pack-bits.ts";

function decode(input: readonly number[], size: number): number[] {
  const out = new Uint8Array(size);
  return Array.from(out.subarray(0, decodePackBits(Uint8Array.from(input), out)));
}

describe("decodePackBits", () => {
  it("expands the example that goes with the method's description", () => {
    // Apple technical note TN1023, from memory: 15 packed bytes for 24.
    const packed = [0xfe, 0xaa, 0x02, 0x80, 0x00, 0x2a, 0xfd, 0xaa, 0x03, 0x80, 0x00, 0x2a, 0x22, 0xf7, 0xaa];
    const aa = (count: number): number[] => new Array(count).fill(0xaa);
    const expected = [...aa(3), 0x80, 0x00, 0x2a, ...aa(4), 0x80, 0x00, 0x2a, 0x22, ...aa(10)];
    expect(decode(packed, 24)).toEqual(expected);
  });

  it("skips the byte that means nothing", () => {
    expect(decode([0x80, 0x00, 9, 0x80], 4)).toEqual([9]);
  });

  it("stops at the end of the output and of the input", () => {
    expect(decode([0x81, 5], 3)).toEqual([5, 5, 5]);
    expect(decode([3, 1, 2], 9)).toEqual([1, 2]);
    expect(decode([0xfe], 9)).toEqual([]);
  });
});
