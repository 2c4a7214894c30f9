import { mkdirSync, writeFileSync } from "node:fs";
import path from "node:path";
import { gaussianBlur } from "../src/numeric/gaussian-blur.ts";
import { createImage, createMask } from "../src/numeric/image.ts";
import type { BenchInput, BenchSize } from "./bench-case.ts";

const SEED = 20240611;

/** Numbers in 0..1 from a fixed seed (linear congruential steps). */
function numbers(seed: number): () => number {
  let state = seed >>> 0;
  return () => {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
    return (state >>> 8) / 16777216;
  };
}

/** Invented picture: discs and bars of several densities, slightly blurred, with noise. Written for the reference too. */
export function benchInput(size: BenchSize, root: string): BenchInput {
  const { width, height } = size;
  const next = numbers(SEED);
  const scene = createImage(width, height);
  const count = Math.round((width * height) / 3000);
  for (let k = 0; k < count; k++) {
    const cx = next() * width;
    const cy = next() * height;
    const radius = 3 + 12 * next();
    const density = 0.3 + next();
    const bar = next() < 0.3;
    for (let y = Math.max(0, Math.floor(cy - radius)); y < Math.min(height, cy + radius); y++) {
      for (let x = Math.max(0, Math.floor(cx - radius)); x < Math.min(width, cx + radius); x++) {
        const inside = bar ? Math.abs(y - cy) < radius / 3 : (x - cx) ** 2 + (y - cy) ** 2 < radius * radius;
        if (inside) scene.data[y * width + x] = Math.max(scene.data[y * width + x], density);
      }
    }
  }
  const image = gaussianBlur(scene, 1);
  const samples = new Uint16Array(width * height);
  const mask = createMask(width, height);
  for (let i = 0; i < samples.length; i++) {
    image.data[i] += 0.05 * (next() + next() - 1);
    samples[i] = Math.max(0, Math.min(65535, Math.round(50000 * Math.exp(-image.data[i]))));
    mask.data[i] = image.data[i] > 0.5 ? 1 : 0;
  }
  const folder = path.join(root, "candler-out/bench", size.name);
  mkdirSync(folder, { recursive: true });
  writeFileSync(path.join(folder, "image.f32"), image.data);
  writeFileSync(path.join(folder, "samples.u16"), samples);
  writeFileSync(path.join(folder, "mask.u8"), mask.data);
  return { size, image, samples, mask, folder, root };
}
