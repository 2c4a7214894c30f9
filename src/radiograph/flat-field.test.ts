import { readFileSync } from "node:fs";
import { describe, expect, test } from "vitest";
import { describeNeeding, needsShared, sharedPath } from "../../test/support/needs.ts";
import { codecs } from "../cli/codecs.ts";
import { readPicture } from "../formats/read-picture.ts";
import { averageFrames } from "./average-frames.ts";
import { CalibrationFrameError } from "./errors.ts";
import { attenuationFromFrames } from "./flat-field.ts";
import { inventedPicture } from "./invented-picture.ts";
import type { Picture } from "./picture.ts";
import { toRadiograph } from "./to-radiograph.ts";

const size = { widthPx: 64, heightPx: 48 };
const noClip = { low: null, high: null };
const darkGrey = (x: number): number => 100 + (x % 7);
const openGrey = (x: number, y: number): number => 2000 + 8 * x + 4 * y;
const dark = inventedPicture({ ...size, grey: darkGrey });
const flat = inventedPicture({ ...size, grey: (x, y) => darkGrey(x) + openGrey(x, y) });
const raw = inventedPicture({ ...size, grey: (x, y) => darkGrey(x) + openGrey(x, y) * 0.25 });

describe("attenuationFromFrames", () => {
  test("pattern, shading and offset divide out", () => {
    const { attenuation, badPixels } = attenuationFromFrames(raw.samples, 64, 48, flat, dark, noClip);
    expect(badPixels).toBe(0);
    for (const a of attenuation) expect(Math.abs(a - Math.log(4))).toBeLessThan(0.001);
  });

  test("dead, hot and column pixels are coded 3 and filled for display", () => {
    const broken = { ...flat, samples: flat.samples.slice() };
    const hot = { ...dark, samples: dark.samples.slice() };
    broken.samples[10 * 64 + 5] = 103;
    for (let y = 0; y < 48; y++) broken.samples[y * 64 + 20] = 300;
    hot.samples[30 * 64 + 40] = 1500;
    const { attenuation, censored, badPixels } = attenuationFromFrames(
      raw.samples,
      64,
      48,
      broken,
      hot,
      noClip,
    );
    expect(badPixels).toBe(50);
    for (const i of [10 * 64 + 5, 7 * 64 + 20, 30 * 64 + 40]) {
      expect(censored[i]).toBe(3);
      expect(attenuation[i]).toBeCloseTo(Math.log(4), 2);
    }
  });

  test("frames that don't belong are refused", () => {
    const other = inventedPicture({ widthPx: 32, heightPx: 48, grey: () => 3000 });
    const codeOf = (flatFrame: Picture, darkFrame?: Picture): string => {
      try {
        attenuationFromFrames(raw.samples, 64, 48, flatFrame, darkFrame, noClip);
      } catch (error) {
        if (error instanceof CalibrationFrameError) return error.code;
      }
      return "none";
    };
    expect(codeOf(other)).toBe("radiograph/frame-size");
    expect(codeOf(dark, flat)).toBe("radiograph/frame-dark");
    expect(codeOf({ ...flat, channels: 3 })).toBe("radiograph/frame-not-grey");
  });
});

describe("averageFrames", () => {
  test("mean of the frames; one stays itself; none or unlike ones are refused", () => {
    expect(averageFrames([dark])).toBe(dark);
    expect(averageFrames([dark, flat]).samples[65]).toBe((dark.samples[65] + flat.samples[65]) / 2);
    expect(() => averageFrames([])).toThrow(CalibrationFrameError);
    expect(() => averageFrames([dark, inventedPicture({ widthPx: 8, heightPx: 8, grey: () => 1 })])).toThrow(
      /8 x 8/,
    );
  });
});

describeNeeding(
  [needsShared("simulated/A7"), needsShared("simulated/A9")],
  "raw pictures of simulated detectors",
  () => {
    for (const [folder, name] of [
      ["A9", "part_003"],
      ["A7", "part_000"],
    ]) {
      test(`${folder}/${name}: agrees with the simulator's corrected picture, defective pixels found`, async () => {
        const read = (part: string): Promise<Picture> =>
          readPicture(readFileSync(sharedPath(`simulated/${folder}/${name}${part}.tif`)), { codecs });
        const [own, flatFrame, darkFrame, corrected] = await Promise.all(
          ["_raw", "_flat", "_dark", ""].map(read),
        );
        const r = toRadiograph(own, { name, sha256: "", flat: flatFrame, dark: darkFrame });
        const c = toRadiograph(corrected, { name, sha256: "" });
        const differences: number[] = [];
        for (let i = 0; i < r.attenuation.length; i += 3) {
          if (r.censored[i] === 0) differences.push(r.attenuation[i] - c.attenuation[i]);
        }
        differences.sort((p, q) => p - q);
        const at = (share: number): number => differences[Math.round(share * (differences.length - 1))];
        // An offset (open beam seen beside the part, or in the flat frame) and the fit's slope; no pattern.
        expect(at(0.99) - at(0.01)).toBeLessThan(0.015);
        expect(Math.abs(at(0.5))).toBeLessThan(0.02);
        expect(r.noise.b / c.noise.b).toBeGreaterThan(0.9);
        expect(r.noise.b / c.noise.b).toBeLessThan(1.1);

        const truth = JSON.parse(readFileSync(sharedPath(`simulated/${folder}/truth.json`), "utf8"));
        const defects = truth.images.find(
          (each: { file: string }) => each.file === `${name}.tif`,
        ).defective_pixels;
        const pixels: [number, number][] = [...defects.dead, ...defects.hot, ...defects.cluster];
        const { x, y0, y1 } = defects.dead_column;
        for (let y = y0; y <= y1; y++) pixels.push([x, y]);
        const missed = pixels.filter(([px, py]) => r.censored[py * r.widthPx + px] !== 3);
        expect(missed).toEqual([]);
        let coded = 0;
        for (const code of r.censored) if (code === 3) coded++;
        expect(coded).toBeLessThanOrEqual(pixels.length + 2);
      });
    }
  },
);

describeNeeding(needsShared("simulated/E"), "step wedge of known transmission", () => {
  test("attenuation of ten aluminium steps", async () => {
    const read = (part: string): Promise<Picture> =>
      readPicture(readFileSync(sharedPath(`simulated/E/wedge_${part}.tif`)), { codecs });
    const [own, flatFrame, darkFrame] = await Promise.all(["raw", "flat", "dark"].map(read));
    const r = toRadiograph(own, { name: "wedge", sha256: "", flat: flatFrame, dark: darkFrame });
    const wedge = JSON.parse(readFileSync(sharedPath("simulated/E/truth.json"), "utf8")).items.find(
      (each: { kind: string }) => each.kind === "step_wedge",
    );
    for (const step of wedge.steps) {
      const [cx, cy] = step.center_px.map(Math.round);
      let sum = 0;
      let n = 0;
      for (let y = cy - 20; y <= cy + 20; y++) {
        for (let x = cx - 20; x <= cx + 20; x++) {
          if (r.censored[y * r.widthPx + x] !== 0) continue;
          sum += r.attenuation[y * r.widthPx + x];
          n++;
        }
      }
      // The simulator's expected corrected grey holds its scatter; open beam 3600.
      const expected = -Math.log(step.expected_corrected_grey / wedge.open_beam_grey);
      expect(Math.abs(sum / n - expected), `${step.al_mm} mm`).toBeLessThan(0.02 * expected + 0.01);
    }
  });
});
