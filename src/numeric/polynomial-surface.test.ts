import { describe, expect, it } from "vitest";
import { SingularError } from "./errors.ts";
import { createImage, createMask } from "./image.ts";
import { evaluateSurface, fitSurface, renderSurface } from "./polynomial-surface.ts";
import { largestDifference, noiseImage } from "./test-images.ts";

const field = (x: number, y: number) => 100 + 0.3 * x - 0.2 * y + 0.004 * x * x - 0.003 * x * y;

describe("fitSurface", () => {
  const width = 60;
  const height = 40;
  const noise = noiseImage(width, height, 5);
  const image = createImage(width, height);
  const truth = createImage(width, height);
  for (let i = 0; i < image.data.length; i++) {
    const x = i % width;
    const y = Math.floor(i / width);
    truth.data[i] = field(x, y);
    // A dense block over a tenth of the picture does not belong to the field.
    image.data[i] = x > 20 && x < 36 && y > 10 && y < 26 ? 20 : truth.data[i] + noise.data[i] - 0.5;
  }

  it("finds the field under a block that is not part of it", () => {
    const surface = fitSurface(image, null, 2);
    expect(largestDifference(renderSurface(surface).data, truth.data)).toBeLessThan(0.2);
    expect(evaluateSurface(surface, 28, 18)).toBeCloseTo(field(28, 18), 0);
    expect(surface.keptShare).toBeGreaterThan(0.85);
    expect(surface.keptShare).toBeLessThan(0.93);
  });

  it("uses only selected pixels", () => {
    const mask = createMask(width, height);
    for (let i = 0; i < mask.data.length; i++) mask.data[i] = image.data[i] === 20 ? 1 : 0;
    expect(evaluateSurface(fitSurface(image, mask, 0), 0, 0)).toBeCloseTo(20, 9);
  });

  it("renders what it evaluates", () => {
    const surface = fitSurface(image, null, 3);
    const rendered = renderSurface(surface);
    expect(rendered.data[17 * width + 5]).toBeCloseTo(evaluateSurface(surface, 5, 17), 4);
  });

  it("refuses pixels all in one column", () => {
    const mask = createMask(width, height);
    for (let y = 0; y < height; y++) mask.data[y * width + 3] = 1;
    expect(() => fitSurface(image, mask, 1)).toThrow(SingularError);
  });
});
