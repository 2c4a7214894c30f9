import { describe, expect, test } from "vitest";
import { NotAMeasuringPictureError } from "./errors.ts";
import type { Picture } from "./picture.ts";
import { singleChannel } from "./single-channel.ts";

const picture = (channels: number, samples: number[], of: Partial<Picture> = {}): Picture => ({
  format: "png",
  widthPx: samples.length / channels,
  heightPx: 1,
  channels,
  samples: Uint8Array.from(samples),
  bits: 8,
  sampleType: "unsigned",
  photometric: channels >= 3 ? "colour" : "min-is-black",
  pages: 1,
  page: 0,
  lossy: false,
  notes: [],
  ...of,
});

describe("singleChannel", () => {
  test("grey passes through, the same array", () => {
    const p = picture(1, [1, 2, 3]);
    expect(singleChannel(p).samples).toBe(p.samples);
  });

  test("equal channels become one, with a note", () => {
    const { samples, notes } = singleChannel(picture(4, [9, 9, 9, 255, 7, 7, 7, 255]));
    expect([...samples]).toEqual([9, 7]);
    expect(notes).toHaveLength(1);
  });

  test("grey with alpha keeps grey", () => {
    expect([...singleChannel(picture(2, [5, 255, 6, 255])).samples]).toEqual([5, 6]);
  });

  test("differing channels are refused, but for a lossy coder's small change", () => {
    expect(() => singleChannel(picture(3, [9, 8, 9]))).toThrow(NotAMeasuringPictureError);
    expect([...singleChannel(picture(3, [9, 8, 9], { lossy: true })).samples]).toEqual([8]);
    expect(() => singleChannel(picture(3, [90, 20, 90], { lossy: true }))).toThrow(/differ in 100\.0 %/);
  });

  test("palette indices are refused", () => {
    expect(() => singleChannel(picture(1, [1], { photometric: "palette" }))).toThrow(
      expect.objectContaining({ code: "radiograph/palette" }),
    );
  });
});
