import { describe, expect, it } from "vitest";
import type { Element } from "./grey-morphology.ts";
import { closeGrey, dilateGrey, erodeGrey, openGrey } from "./grey-morphology.ts";
import { imageOf, noiseImage } from "./test-images.ts";

function direct(image: ReturnType<typeof noiseImage>, radius: number, element: Element): number[] {
  const { width, height, data } = image;
  return Array.from(data, (_, i) => {
    const x = i % width;
    const y = (i - x) / width;
    let largest = Number.NEGATIVE_INFINITY;
    for (let dy = -radius; dy <= radius; dy++) {
      for (let dx = -radius; dx <= radius; dx++) {
        if (element === "disc" && dx * dx + dy * dy > radius * radius) continue;
        if (x + dx >= 0 && x + dx < width && y + dy >= 0 && y + dy < height) {
          largest = Math.max(largest, data[(y + dy) * width + x + dx]);
        }
      }
    }
    return largest;
  });
}

describe("grey morphology", () => {
  it.each(["disc", "square"] as const)("takes the same maxima as a direct search: %s", (element) => {
    const image = noiseImage(23, 17);
    for (const radius of [0, 1, 2, 5, 30]) {
      expect([...dilateGrey(image, radius, element).data]).toEqual(direct(image, radius, element));
    }
  });

  it("opens bright detail away and closes dark detail, by hand", () => {
    const image = imageOf([[1, 1, 9, 1, 1, 5, 5, 5, 1]]);
    expect([...openGrey(image, 1, "square").data]).toEqual([1, 1, 1, 1, 1, 5, 5, 5, 1]);
    expect([...closeGrey(image, 1, "square").data]).toEqual([1, 1, 9, 5, 5, 5, 5, 5, 5]);
  });

  it("is ordered: erosion <= opening <= picture <= closing <= dilation", () => {
    const image = noiseImage(20, 15, 4);
    const series = [
      erodeGrey(image, 3),
      openGrey(image, 3),
      image,
      closeGrey(image, 3),
      dilateGrey(image, 3),
    ];
    for (let k = 1; k < series.length; k++) {
      image.data.forEach((_, i) => {
        expect(series[k].data[i]).toBeGreaterThanOrEqual(series[k - 1].data[i]);
      });
    }
  });
});
