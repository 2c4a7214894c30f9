import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { labelComponents } from "./components.ts";
import { maskOf, mirrored } from "./test-images.ts";

describe("labelComponents", () => {
  it("joins a U late, keeps raster order and measures by hand", () => {
    const mask = maskOf("#.#.#", "#.#..", "###..", ".....", "...##");
    const { labels, components } = labelComponents(mask, 4);
    expect([...labels.subarray(0, 5)]).toEqual([1, 0, 1, 0, 2]);
    expect(components).toEqual([
      { label: 1, areaPx: 7, boxPx: [0, 0, 3, 3], centroidPx: [1, 8 / 7], touchesBorder: true },
      { label: 2, areaPx: 1, boxPx: [4, 0, 1, 1], centroidPx: [4, 0], touchesBorder: true },
      { label: 3, areaPx: 2, boxPx: [3, 4, 2, 1], centroidPx: [3.5, 4], touchesBorder: true },
    ]);
  });

  it("joins corners only when asked", () => {
    const mask = maskOf("....", ".#..", "..#.", "....");
    expect(labelComponents(mask, 4).components).toHaveLength(2);
    const joined = labelComponents(mask, 8).components;
    expect(joined).toHaveLength(1);
    expect(joined[0].touchesBorder).toBe(false);
  });

  it("agrees with a flood fill, and sees the same regions in a mirror", () => {
    fc.assert(
      fc.property(
        fc.array(fc.boolean(), { minLength: 63, maxLength: 63 }),
        fc.constantFrom(4 as const, 8 as const),
        (bits, connectivity) => {
          const mask = { width: 9, height: 7, data: Uint8Array.from(bits, Number) };
          const areas = labelComponents(mask, connectivity).components.map((c) => c.areaPx);
          expect(areas).toEqual(floodAreas(mask.data, 9, 7, connectivity));
          const inMirror = labelComponents(mirrored(mask), connectivity).components.map((c) => c.areaPx);
          expect([...inMirror].sort()).toEqual([...areas].sort());
        },
      ),
    );
  });
});

function floodAreas(data: Uint8Array, width: number, height: number, connectivity: 4 | 8): number[] {
  const left = data.slice();
  const areas: number[] = [];
  for (let i = 0; i < left.length; i++) {
    if (left[i] === 0) continue;
    let area = 0;
    const stack = [i];
    left[i] = 0;
    while (stack.length > 0) {
      const at = stack.pop() as number;
      area++;
      for (let dy = -1; dy <= 1; dy++) {
        for (let dx = -1; dx <= 1; dx++) {
          if (connectivity === 4 && dx !== 0 && dy !== 0) continue;
          const x = (at % width) + dx;
          const y = Math.floor(at / width) + dy;
          if (x < 0 || y < 0 || x >= width || y >= height || left[y * width + x] === 0) continue;
          left[y * width + x] = 0;
          stack.push(y * width + x);
        }
      }
    }
    areas.push(area);
  }
  return areas;
}
