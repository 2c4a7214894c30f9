import { describe, expect, it } from "vitest";
import { drawnRadiograph, slab } from "../../../../test/support/drawn-radiograph.ts";
import { flood, ownedPieces, partTouching, withoutNoiseHoles } from "./part-cores.ts";
import { cutAtLevel } from "./part-levels.ts";

// Bodies of known size: 30 x 20 px, 600 px each.
function cutOf(...matter: Parameters<typeof drawnRadiograph>[2][number][]) {
  const { attenuation: data } = drawnRadiograph(140, 100, matter, { noise: 0, unsharpPx: 0 });
  return cutAtLevel({ width: 140, height: 100, data }, 0.5);
}

const body = (x: number, y = 20) => slab(1, [x, y], [x + 29, y + 19]);
/** A bar 6 px wide from body to body. */
const bar = (x: number, y = 20) => slab(1, [x, y + 7], [x + 5, y + 12]);
/** Leads 4 px wide, 16 px long, from one row of bodies to the next. */
const leads = (x: number) => [4, 22].map((off) => slab(1, [x + off, 40], [x + off + 3, 55]));

describe("parts that all touch", () => {
  const block = () =>
    cutOf(
      ...[0, 1].flatMap((row) =>
        [10, 46, 82].flatMap((x) => [
          body(x, row ? 56 : 20),
          ...(x < 80 ? [bar(x + 30, row ? 56 : 20)] : []),
          ...(row ? [] : leads(x)),
        ]),
      ),
    );

  it("are taken apart where they are thinnest, though no other part says how large one is", () => {
    const cut = block();
    expect(cut.pieces).toHaveLength(1);
    const parted = partTouching(cut);
    expect(parted?.count).toBe(6);
    // Bodies of 600 px, half of a bar's 36 px a side, half of two leads of 64 px each.
    expect(parted?.unitAreaPx).toBeGreaterThanOrEqual(600 + 18 + 60);
    expect(parted?.unitAreaPx).toBeLessThanOrEqual(600 + 36 + 68);
    const middles = parted?.parts.map((p) => p.centroidPx) ?? [];
    for (const [i, [x, y]] of middles.entries()) {
      expect(Math.abs(x - [24.5, 60.5, 96.5][i % 3])).toBeLessThan(1.5);
      // Leads draw the middle of a row towards the other.
      expect(Math.abs(y - [29.5, 65.5][Math.floor(i / 3)])).toBeLessThan(4);
    }
  });

  it("own every pixel of their piece once, and nothing of what their leads enclose", () => {
    const cut = block();
    const parted = partTouching(cut);
    const owned = [...(parted?.cut.labels ?? [])].map((label) => (label ? 1 : 0));
    expect(owned).toEqual([...cut.mask.data]);
    expect(cut.labels.filter((label) => label).length).toBeGreaterThan(owned.filter((o) => o).length);
  });

  it("count a part that the picture's edge cuts, without taking it for a whole one", () => {
    // The first shows 12 of its 30 px.
    const cut = cutOf(body(-18), bar(12), body(18), bar(48), body(54));
    const parted = partTouching(cut);
    expect(parted?.parts.map((p) => p.touchesBorder)).toEqual([true, false, false]);
    expect(parted?.count).toBe(2);
  });
});

describe("a part that stands alone", () => {
  it("stays whole, its leads and bars being thinner than its body", () => {
    expect(partTouching(cutOf(body(40), bar(34), bar(70), ...leads(40)))).toBeNull();
    expect(partTouching(cutOf(body(10), body(50), body(90)))).toBeNull();
  });

  it("stays whole when what comes apart in it is not equal", () => {
    expect(partTouching(cutOf(body(20), bar(50), slab(1, [56, 10], [115, 60])))).toBeNull();
  });

  it("stays whole where nothing is thinner: parts flush against each other", () => {
    expect(partTouching(cutOf(slab(1, [10, 20], [69, 39])))).toBeNull();
  });
});

describe("a mask", () => {
  it("loses the holes of noise and keeps those between parts", () => {
    const cut = cutOf(
      slab(1, [10, 10], [109, 89]),
      slab(-1, [20, 20], [22, 22]),
      slab(-1, [40, 30], [79, 69]),
    );
    const { data } = withoutNoiseHoles(cut.mask);
    expect(data[21 * 140 + 21]).toBe(1);
    expect(data[50 * 140 + 60]).toBe(0);
  });

  it("is shared out among seeds by the way through it", () => {
    // A U of 3 x 3: from one end to the other the way leads through the bottom.
    const mask = { width: 3, height: 3, data: Uint8Array.from([1, 0, 1, 1, 0, 1, 1, 1, 1]) };
    const owned = flood(mask, Int32Array.from([1, 0, 2, 0, 0, 0, 0, 0, 0]));
    expect([...owned]).toEqual([1, 0, 2, 1, 0, 2, 1, 1, 2]);
    expect(ownedPieces(mask, owned, 3)).toMatchObject([
      { label: 1, filledPx: 4, boxPx: [0, 0, 2, 3], touchesBorder: true },
      { label: 2, filledPx: 3, boxPx: [2, 0, 1, 3], centroidPx: [2, 1] },
    ]);
  });
});
