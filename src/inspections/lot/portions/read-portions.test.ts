import { expect, it } from "vitest";
import type { LookedAtSource } from "../finding/gather-parts.ts";
import type { PictureLook } from "../finding/look-at-picture.ts";
import { portionSize, readPortions } from "./read-portions.ts";

/** Pictures that show so many parts each; -1: cannot be read. `looks` counts. */
function pictures(...parts: number[]) {
  return picturesOf(1000, parts);
}

function picturesOf(patchPx: number, parts: readonly number[]) {
  const looks = parts.map(() => 0);
  const sources = parts.map(
    (n, i): LookedAtSource => ({
      picture: `${i}`,
      look: async () => {
        looks[i] = (looks[i] as number) + 1;
        if (n < 0) throw new Error("broken");
        return {
          patches: Array.from({ length: n }, () => ({ image: { data: { length: patchPx } } })),
        } as unknown as PictureLook;
      },
    }),
  );
  return { sources, looks };
}

async function sizes(sources: readonly LookedAtSource[], most: number, atOnce = 2): Promise<string[][]> {
  const portions: string[][] = [];
  for await (const { looked, again } of readPortions(sources, most, atOnce, () => {})) {
    // As gathering does: the first look is remembered.
    for (const one of looked) await one.look({ parts: "own" }).catch(() => null);
    expect(again.map(({ picture }) => picture)).toEqual(looked.map(({ picture }) => picture));
    portions.push(looked.map(({ picture }) => picture));
  }
  return portions;
}

it("hands out all pictures in their order, in portions of about one size, each looked at once", async () => {
  const { sources, looks } = pictures(...Array.from({ length: 26 }, () => 8));
  const portions = await sizes(sources, 80);
  expect(portions.map((p) => p.length)).toEqual([9, 9, 8]);
  expect(portions.flat()).toEqual(sources.map(({ picture }) => picture));
  expect(looks.every((n) => n === 1)).toBe(true);
});

it("leaves a lot that fits in one portion", async () => {
  expect(await sizes(pictures(20, 20, 20, 20).sources, 80)).toHaveLength(1);
  expect(await sizes(pictures(...Array.from({ length: 80 }, () => 1)).sources, 80)).toHaveLength(1);
});

it("leaves no remainder that is too small to be compared within itself", async () => {
  expect(
    (await sizes(pictures(...Array.from({ length: 85 }, () => 1)).sources, 80)).map((p) => p.length),
  ).toEqual([85]);
  expect(portionSize(80, 10, 80)).toBe(Number.POSITIVE_INFINITY);
});

it("takes fewer parts together where their pictures are large, half as many at least", async () => {
  const lot = Array.from({ length: 80 }, () => 1);
  expect((await sizes(picturesOf(400_000, lot).sources, 80)).map((p) => p.length)).toEqual([40, 40]);
  expect((await sizes(picturesOf(1_000_000, lot).sources, 80)).map((p) => p.length)).toEqual([40, 40]);
});

it("takes unreadable pictures and those without parts along as one part each", async () => {
  expect((await sizes(pictures(-1, 0, 4, 4, 4, 4, 4, 4).sources, 8)).flat()).toHaveLength(8);
});
