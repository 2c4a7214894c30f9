import { readFileSync } from "node:fs";
import { describe, expect, test } from "vitest";
import { describeNeeding, needsShared, sharedPath } from "../../test/support/needs.ts";
import { codecs } from "../cli/codecs.ts";
import { readPicture } from "../formats/read-picture.ts";
import { inventedPicture, normalNumbers } from "./invented-picture.ts";
import { estimateGreyNoise, greySigma } from "./noise.ts";
import { neighbourCorrelation, shareLeft } from "./noise-correlation.ts";

const noClip = { low: null, high: null };

describe("estimateGreyNoise", () => {
  test("recovers photon gain over a ladder of greys", () => {
    const grey = (x: number): number => 200 + 300 * Math.floor(x / 64);
    const p = inventedPicture({ widthPx: 512, heightPx: 256, grey, gain: 0.5 });
    const noise = estimateGreyNoise(p.samples, 512, 256, noClip, 1);
    expect(noise.b).toBeGreaterThan(0.46);
    expect(noise.b).toBeLessThan(0.54);
    expect(greySigma(noise, 1400) ** 2).toBeCloseTo(700, -2);
    expect(noise.neighbourCorrelation).toBeLessThan(0.1);
  });

  test("structure in most of the picture doesn't count as noise", () => {
    // Bars every 6 px over three quarters of the field; the rest is open.
    const grey = (x: number, y: number): number => (y < 192 && x % 6 < 3 ? 700 : 1600);
    const p = inventedPicture({ widthPx: 320, heightPx: 256, grey, gain: 0.1 });
    const sigma = greySigma(estimateGreyNoise(p.samples, 320, 256, noClip, 1), 1600);
    expect(sigma).toBeGreaterThan(0.9 * Math.sqrt(160));
    expect(sigma).toBeLessThan(1.1 * Math.sqrt(160));
  });

  test("correlated noise keeps its standard deviation", () => {
    const side = 320;
    const normal = normalNumbers(7);
    const white = Float64Array.from({ length: side * side }, () => normal());
    const samples = new Float32Array(side * side);
    let squares = 0;
    for (let y = 1; y < side - 1; y++) {
      for (let x = 1; x < side - 1; x++) {
        let sum = 0;
        for (let v = -1; v <= 1; v++)
          for (let u = -1; u <= 1; u++) sum += (2 - u * u) * (2 - v * v) * white[(y + v) * side + x + u];
        samples[y * side + x] = 1000 + sum;
        squares += sum * sum;
      }
    }
    const truth = Math.sqrt(squares / (side - 2) ** 2);
    const noise = estimateGreyNoise(samples, side, side, { low: 0, high: null }, 0);
    expect(noise.neighbourCorrelation).toBeGreaterThan(0.5);
    expect(Math.abs(greySigma(noise, 1000) / truth - 1)).toBeLessThan(0.07);
  });

  test("never below the rounding noise of the grey step", () => {
    const p = inventedPicture({ widthPx: 200, heightPx: 200, grey: (x) => 800 + x, gain: 0.0001, step: 8 });
    expect(greySigma(estimateGreyNoise(p.samples, 200, 200, noClip, 8), 900)).toBeGreaterThanOrEqual(
      8 / Math.sqrt(12),
    );
  });

  test("never negative at greys that no flat area shows", () => {
    // Bright flats whose noise grows faster than grey (a display curve); the dark part is all structure.
    const normal = normalNumbers(11);
    const samples = new Float32Array(256 * 256);
    for (let y = 0; y < 256; y++) {
      for (let x = 0; x < 256; x++) {
        const flat = y < 192;
        const grey = flat ? 2000 + 500 * Math.floor(x / 64) : x % 6 < 3 ? 100 : 400;
        samples[y * 256 + x] = grey + (flat ? (grey / 2000) ** 3 * 10 * normal() : 2 * normal());
      }
    }
    const noise = estimateGreyNoise(samples, 256, 256, noClip, 0);
    for (const grey of [150, 250, 2000, 3500]) expect(greySigma(noise, grey)).toBeGreaterThan(1);
  });

  test("clipped blocks are left out", () => {
    const p = inventedPicture({
      widthPx: 200,
      heightPx: 200,
      grey: (x) => (x < 100 ? 2000 : 6000),
      gain: 1,
      bits: 12,
    });
    const noise = estimateGreyNoise(p.samples, 200, 200, { low: null, high: 4095 }, 1);
    expect(greySigma(noise, 2000)).toBeGreaterThan(42);
    expect(greySigma(noise, 2000)).toBeLessThan(48);
  });
});

describe("neighbourCorrelation", () => {
  test("undoes what removing the plane took", () => {
    for (const rho of [0, 0.3, 0.6, 0.8]) {
      expect(neighbourCorrelation([(1 - rho) / shareLeft(rho)])).toBeCloseTo(rho, 3);
    }
    expect(shareLeft(0)).toBeCloseTo(1, 12);
  });
});

describeNeeding(needsShared("simulated/E"), "noise of simulated flats of known signal-to-noise ratio", () => {
  // The ratios are the simulator's own (truth.json), measured there over the whole frame.
  const items: { file?: string; snr_measured_whole_frame?: number }[] = JSON.parse(
    readFileSync(sharedPath("simulated/E/truth.json"), "utf8"),
  ).items;
  for (const { file, snr_measured_whole_frame: snr } of items) {
    if (file === undefined || snr === undefined) continue;
    test(`${file}: ${snr}`, async () => {
      const p = await readPicture(readFileSync(sharedPath(`simulated/E/${file}`)), { codecs });
      const noise = estimateGreyNoise(p.samples, p.widthPx, p.heightPx, noClip, 1);
      const tolerance = file.includes("corr") ? 0.06 : 0.02;
      expect(Math.abs(16000 / greySigma(noise, 16000) / snr - 1)).toBeLessThan(tolerance);
    });
  }

  test("averaging 4 frames divides the variance by 4, over and over", async () => {
    const at: number[] = [];
    for (const frames of ["01", "04", "16", "64"]) {
      const p = await readPicture(readFileSync(sharedPath(`simulated/E/average_${frames}.tif`)), { codecs });
      at.push(greySigma(estimateGreyNoise(p.samples, p.widthPx, p.heightPx, noClip, 1), 2960) ** 2);
    }
    for (let k = 1; k < 4; k++) expect(at[k - 1] / at[k]).toBeGreaterThan(3.8);
    for (let k = 1; k < 4; k++) expect(at[k - 1] / at[k]).toBeLessThan(4.2);
  });
});
