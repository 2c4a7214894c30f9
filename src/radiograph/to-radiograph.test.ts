import { readFileSync } from "node:fs";
import { describe, expect, test } from "vitest";
import { describeNeeding, needsShared, sharedPath } from "../../test/support/needs.ts";
import { codecs } from "../cli/codecs.ts";
import { readPicture } from "../formats/read-picture.ts";
import { NotAMeasuringPictureError } from "./errors.ts";
import { inventedPicture } from "./invented-picture.ts";
import type { Picture } from "./picture.ts";
import type { Radiograph } from "./radiograph.ts";
import { toRadiograph } from "./to-radiograph.ts";

const options = { name: "part", sha256: "00" };
const size = { widthPx: 200, heightPx: 160 };
const part = (x: number, y: number): number => (x > 60 && x < 140 && y > 50 && y < 110 ? 0.4 : 1);

function codeOf(picture: Picture): string {
  try {
    toRadiograph(picture, options);
    return "none";
  } catch (error) {
    if (error instanceof NotAMeasuringPictureError) return error.code;
    throw error;
  }
}

describe("toRadiograph", () => {
  test("a part of 40 % transmission has attenuation -ln 0.4 over its background", () => {
    const p = inventedPicture({ ...size, grey: (x, y) => 3000 * part(x, y), gain: 0.2 });
    const r = toRadiograph(p, options);
    const mean = (x0: number, x1: number): number => {
      let sum = 0;
      for (let y = 60; y < 100; y++) for (let x = x0; x < x1; x++) sum += r.attenuation[y * 200 + x];
      return sum / (40 * (x1 - x0));
    };
    expect(mean(70, 130)).toBeCloseTo(-Math.log(0.4), 2);
    expect(mean(5, 55)).toBeCloseTo(0, 2);
    expect(r.background.kind).toBe("fitted");
    expect(r.scale).toEqual({ umPerPx: null, U: null, origin: "none" });
    expect(r.samples).toBe(p.samples);
    // sigma_a^2 = gain / I = gain / I0 * exp(a)
    expect(r.noise.a + r.noise.b).toBeGreaterThan((0.9 * 0.2) / 3000);
    expect(r.noise.a + r.noise.b).toBeLessThan((1.15 * 0.2) / 3000);
  });

  test("same picture and options, same numbers; the picture stays as it was", () => {
    const p = inventedPicture({ ...size, grey: (x, y) => 3000 * part(x, y), gain: 0.2 });
    const before = p.samples.slice();
    const [one, two] = [toRadiograph(p, options), toRadiograph(p, options)];
    expect(two).toEqual(one);
    expect(p.samples).toEqual(before);
  });

  test("a saturated beam: censored, bounded, noted", () => {
    const p = inventedPicture({ ...size, grey: (x, y) => 6000 * part(x, y), gain: 0.2, bits: 12 });
    const r = toRadiograph(p, options);
    expect(r.clip.high).toBe(4095);
    expect(r.censored[0]).toBe(1);
    expect(r.attenuation[0]).toBeCloseTo(0, 6);
    expect(r.background).toMatchObject({ kind: "fitted", greyMean: 4095 });
    expect(r.notes.join(" ")).toMatch(/open beam is saturated/);
  });

  test("refusals", () => {
    expect(codeOf(inventedPicture({ ...size, grey: () => 0 }))).toBe("radiograph/constant");
    expect(codeOf(inventedPicture({ ...size, grey: () => 9000, gain: 1, bits: 12 }))).toBe(
      "radiograph/saturated",
    );
    expect(codeOf(inventedPicture({ ...size, grey: () => 90, gain: 0.04 }))).toBe("radiograph/beam-off");
    expect(codeOf(inventedPicture({ widthPx: 15, heightPx: 200, grey: (x) => x * 9 }))).toBe(
      "radiograph/too-small",
    );
    const p = inventedPicture({ ...size, grey: (x) => x });
    expect(
      codeOf({ ...p, samples: new Float32Array(p.samples.length).fill(Number.NaN), sampleType: "float" }),
    ).toBe("radiograph/no-numbers");
  });

  test("every kind of sample array ends in finite attenuation", () => {
    const p = inventedPicture({ ...size, grey: (x, y) => 3000 * part(x, y), gain: 0.2 });
    for (const Kind of [Float32Array, Float64Array, Int16Array, Int32Array, Uint32Array]) {
      const r = toRadiograph({ ...p, samples: Kind.from(p.samples) }, options);
      expect(r.polarity.value).toBe("dense-is-dark");
      expect(r.attenuation.every((a) => Number.isFinite(a))).toBe(true);
    }
    const holed = Float32Array.from(p.samples);
    for (let i = 0; i < holed.length; i += 211) holed[i] = Number.NaN;
    const r = toRadiograph({ ...p, samples: holed, sampleType: "float" }, options);
    expect(r.censored[211]).toBe(3);
    expect(r.attenuation.every((a) => Number.isFinite(a))).toBe(true);
  });

  test("pictures of 16 px a side and odd sizes", () => {
    for (const [widthPx, heightPx] of [
      [16, 16],
      [17, 900],
      [33, 31],
    ]) {
      const p = inventedPicture({ widthPx, heightPx, grey: (x, y) => (x + y > 20 ? 900 : 2500), gain: 0.2 });
      expect(toRadiograph(p, options).attenuation).toHaveLength(widthPx * heightPx);
    }
  });

  test("a resolution tag is told, not used", () => {
    const p = inventedPicture({
      ...size,
      grey: (x, y) => 3000 * part(x, y),
      gain: 0.2,
      of: { taggedPitch: { umPerPxX: 84.67, umPerPxY: 84.67, source: "TIFF resolution" } },
    });
    const r = toRadiograph(p, options);
    expect(r.scale.origin).toBe("none");
    expect(r.notes.join(" ")).toMatch(/says 84\.67 um per px \(TIFF resolution\); not used/);
  });
});

describeNeeding(needsShared("simulated/F"), "nuisance pictures of the simulator", () => {
  const read = (file: string): Promise<Picture> =>
    readPicture(readFileSync(sharedPath(`simulated/F/${file}`)), { codecs });
  const radiograph = async (file: string): Promise<Radiograph> => toRadiograph(await read(file), options);

  test.each([
    ["all_zero.tif", "radiograph/constant"],
    ["saturated.tif", "radiograph/saturated"],
    ["black.tif", "radiograph/beam-off"],
    ["rgb_false_colour.png", "radiograph/colour"],
    ["rgb_photo.tif", "radiograph/colour"],
  ])("%s is refused: %s", async (file, code) => {
    expect(codeOf(await read(file))).toBe(code);
  });

  test("under-exposed is measured, with a warning", async () => {
    expect((await radiograph("underexposed.tif")).notes.join(" ")).toMatch(
      /Under-exposed: signal-to-noise ratio/,
    );
  });

  test("the inverted picture has the attenuation of the reference", async () => {
    const [plain, inverted] = [await radiograph("reference.tif"), await radiograph("inverted.tif")];
    let worst = 0;
    for (let i = 0; i < plain.attenuation.length; i++) {
      worst = Math.max(worst, Math.abs(plain.attenuation[i] - inverted.attenuation[i]));
    }
    expect(worst).toBeLessThan(2e-3);
  });

  test("8-bit and screen pictures carry their cautions", async () => {
    expect((await radiograph("gray8.png")).notes.join(" ")).toMatch(/8-bit/);
  });
});

describeNeeding(needsShared("simulated/B"), "device pictures with a saturated beam", () => {
  test("step of 8, clip at 4088, half the beam censored", async () => {
    const p = await readPicture(readFileSync(sharedPath("simulated/B/good_00.tif")), { codecs });
    const r = toRadiograph(p, options);
    expect(r.greyStep).toBe(8);
    expect(r.clip).toEqual({ low: null, high: 4088 });
    const share = r.censored.filter((c) => c === 1).length / r.censored.length;
    expect(share).toBeGreaterThan(0.3);
    expect(share).toBeLessThan(0.6);
  });
});
