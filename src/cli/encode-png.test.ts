import sharp from "sharp";
import { describe, expect, it } from "vitest";
import { encodePng } from "./encode-png.ts";

describe("encodePng", () => {
  // Read back by sharp, an independent decoder.
  it.each([1, 3, 4] as const)("with %d channels is read back exactly by sharp", async (channels) => {
    const [width, height] = [37, 23];
    const data = Uint8Array.from(
      { length: width * height * channels },
      (_, at) => (at * at * 31 + at * 7) & 255,
    );
    const png = encodePng({ width, height, data, channels });
    const read = await sharp(png).raw().toBuffer({ resolveWithObject: true });
    const { info } = read;
    expect([info.width, info.height]).toEqual([width, height]);
    const step = info.channels / channels;
    const first = Uint8Array.from({ length: width * height * channels }, (_, at) =>
      channels === 1 ? read.data[at * step] : read.data[at],
    );
    expect(first).toEqual(data);
  });

  it("gives the same bytes for the same picture", () => {
    const picture = { width: 8, height: 8, data: new Uint8Array(64).fill(9), channels: 1 as const };
    expect(encodePng(picture)).toEqual(encodePng(picture));
  });
});
