import { describe, expect, it } from "vitest";
import type { Image } from "../../../numeric/image.ts";
import { noiseImage } from "../../../numeric/test-images.ts";
import type { Speck } from "./specks.ts";
import { searchSpecks } from "./specks.ts";

// Residuals are noise of known spread; what is put into them is known.

const [width, height, noise] = [160, 120, 0.01];
const ground = { width, height, data: new Uint8Array(width * height).fill(1) };
const size = { ownPx: 1, aroundPx: 12, strayPx: 3, leastWidthPx: 2, mostOffGround: [0.2, 0.2] as const };

function residual(seed: number, put: (x: number, y: number) => number = () => 0): Image {
  const { data } = noiseImage(width, height, seed);
  const out = new Float32Array(data.length);
  const mean = data.reduce((sum, v) => sum + v, 0) / data.length;
  const sd = Math.sqrt(data.reduce((sum, v) => sum + (v - mean) ** 2, 0) / data.length);
  for (let i = 0; i < out.length; i++)
    out[i] = (noise * ((data[i] as number) - mean)) / sd + put(i % width, Math.floor(i / width));
  return { width, height, data: out };
}

function called(residuals: readonly Image[]): Speck[][] {
  const { specks } = searchSpecks(residuals, ground, size, noise, 0.01, 0.5);
  return specks.map((of) => of.filter((speck) => speck.over >= 1));
}

const disc = (x0: number, y0: number, radius: number, by: number) => (x: number, y: number) =>
  Math.hypot(x - x0, y - y0) <= radius ? by : 0;

describe("small matter in one part of twelve", () => {
  it("is called where it lies, denser or lighter, and in no other part", () => {
    const parts = Array.from({ length: 12 }, (_, i) =>
      residual(i + 1, i === 4 ? disc(50, 40, 2, 0.2) : i === 7 ? disc(100, 80, 3, -0.15) : undefined),
    );
    const found = called(parts);
    found.forEach((of, i) => {
      expect(of, `part ${i}`).toHaveLength(i === 4 || i === 7 ? 1 : 0);
    });
    const [dense] = found[4] as Speck[];
    expect(dense).toMatchObject({ sign: 1 });
    const [x, y, w, h] = (dense as Speck).boxPx;
    expect(Math.abs(x + (w - 1) / 2 - 50)).toBeLessThan(1.5);
    expect(Math.abs(y + (h - 1) / 2 - 40)).toBeLessThan(1.5);
    expect(Math.abs(Math.max(w, h) - 5)).toBeLessThan(3);
    expect((found[7] as Speck[])[0]).toMatchObject({ sign: -1 });
  });

  it("is not called where the parts differ as much by themselves, or below the least that counts", () => {
    const strays = Array.from({ length: 12 }, (_, i) => residual(i + 1, disc(50, 40, 2, i % 2 ? 0.2 : 0)));
    expect(called(strays).flat()).toEqual([]);
    const faint = Array.from({ length: 12 }, (_, i) => residual(i + 1, disc(50, 40, 4, i === 3 ? 0.008 : 0)));
    expect(called(faint).flat()).toEqual([]);
  });

  it("is not called when it is one px wide and four long where lines are that thin, as at a quarter of the size", () => {
    const line = (x: number, y: number) => (y === 60 && x >= 50 && x < 54 ? 0.3 : 0);
    const parts = Array.from({ length: 12 }, (_, i) => residual(i + 1, i === 5 ? line : undefined));
    const overs = (leastWidthPx: number) =>
      searchSpecks(parts, ground, { ...size, leastWidthPx }, noise, 0.01, 0.5).specks.flat();
    expect(overs(2).some((speck) => speck.over >= 1)).toBe(true);
    expect(overs(1).some((speck) => speck.over >= 1)).toBe(false);
  });

  it("is not called when it is an edge that lies a little elsewhere: long and thin", () => {
    const edge = (x: number, y: number) => (x >= 60 && x < 62 && y > 20 && y < 90 ? 0.2 : 0);
    const parts = Array.from({ length: 12 }, (_, i) => residual(i + 1, i === 5 ? edge : undefined));
    expect(called(parts).flat()).toEqual([]);
  });
});
