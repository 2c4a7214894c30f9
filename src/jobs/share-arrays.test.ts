import { describe, expect, it } from "vitest";
import { createSharer } from "./share-arrays.ts";

const large = () => Float32Array.from({ length: 2000 }, (_, i) => i / 3);

describe("sharing the arrays of plain data", () => {
  it("puts large arrays into shared memory and changes nothing else", () => {
    const picture = {
      name: "p",
      image: { width: 50, height: 40, data: large() },
      boxes: [[1, 2] as const],
      no: null,
    };
    const shared = createSharer()(picture);
    expect(shared).toEqual(picture);
    expect(shared.image.data.buffer).toBeInstanceOf(SharedArrayBuffer);
    expect(picture.image.data.buffer).toBeInstanceOf(ArrayBuffer);
  });

  it("copies the part that a view shows, not all that lies behind it", () => {
    const view = large().subarray(100, 1900);
    const shared = createSharer()({ view }).view;
    expect(shared).toEqual(view);
    expect(shared.buffer.byteLength).toBe(view.byteLength);
  });

  it("copies one array once, and none that is shared already", () => {
    const share = createSharer();
    const data = large();
    const { first, second } = share({ first: { data }, second: { data } });
    expect(first.data).toBe(second.data);
    expect(share({ again: first.data }).again).toBe(first.data);
  });

  it("leaves short arrays where they are", () => {
    const short = Uint8Array.of(1, 2, 3);
    expect(createSharer()({ short }).short).toBe(short);
  });
});
