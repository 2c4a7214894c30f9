import { describe, expect, it } from "vitest";
import type { Image } from "../../../numeric/image.ts";
import { noiseImage } from "../../../numeric/test-images.ts";
import reference from "../grouping/fixtures/groups.json" with { type: "json" };
import { applyTone, matchTone, toned, unapplyTone } from "./match-tone.ts";

// The curve through noisy pairs: numpy's polyfit of degree 2, written by scripts/reference/group-fixtures.py. Exact
// tones are known by construction.
const [width, height] = [40, 30];
const dark: Image = scaled(noiseImage(width, height, 7), 1.5);
const grain = noiseImage(width, height, 8);

function scaled(image: Image, by: number): Image {
  return { ...image, data: image.data.map((v) => by * v) };
}

function seenAs(image: Image, value: (v: number, i: number) => number): Image {
  return { ...image, data: image.data.map(value) };
}

describe("the tone between two exposures", () => {
  it("is the curve that numpy fits through the noisy pairs", () => {
    const light = seenAs(dark, (v, i) => 0.05 + 0.8 * v + 0.12 * v * v + 0.01 * (grain.data[i] - 0.5));
    const tone = matchTone(dark, light);
    for (const v of [0.1, 0.5, 1, 1.4]) {
      const { offset, gain, bend } = reference.tone;
      expect(Math.abs(applyTone(tone, v) - (offset + gain * v + bend * v * v))).toBeLessThan(0.002);
    }
  });

  it("is taken back: straight, bent up and bent down, and the crest where nothing is taken there", () => {
    for (const bend of [0, 0.1, -0.1]) {
      const tone = { offset: 0.05, gain: 0.8, bend };
      for (const v of [0, 0.4, 1.5]) expect(unapplyTone(tone, applyTone(tone, v))).toBeCloseTo(v, 9);
    }
    // 0.8 v - 0.1 v^2 is highest at v = 4, 1.6.
    expect(unapplyTone({ offset: 0, gain: 0.8, bend: -0.1 }, 1.6)).toBeCloseTo(4, 6);
  });

  it("is none between pictures of one exposure", () => {
    const tone = matchTone(dark, dark);
    expect(tone.offset).toBeCloseTo(0, 4);
    expect(tone.gain).toBeCloseTo(1, 4);
    expect(tone.bend).toBeCloseTo(0, 4);
  });

  it("does not explain a missing die away as exposure", () => {
    // A die (0.4 denser) over a sixth of the reference is absent from the other picture.
    const die = (i: number) => i % width < 14 && Math.floor(i / width) < 15;
    const light = seenAs(dark, (v, i) => 0.05 + 0.9 * v + (die(i) ? 0.4 : 0));
    const tone = matchTone(dark, light);
    expect(applyTone(tone, 0.2)).toBeCloseTo(0.23, 2);
    expect(applyTone(tone, 1.2)).toBeCloseTo(1.13, 2);
  });

  it("holds for metal too where the reference has another lead frame and most is mould", () => {
    // Open field 0, mould 0.3, metal 1; columns 16 to 27 are metal in the one, 19 to 29 in the other.
    const [wide, high] = [60, 40];
    const drawn = (metal: readonly [number, number], seed: number): Image => {
      const noise = noiseImage(wide, high, seed).data;
      const data = Float32Array.from(noise, (n, i) => {
        const x = i % wide;
        const level = x < 12 ? 0 : x >= metal[0] && x < metal[1] ? 1 : 0.3;
        return level + 0.004 * (n - 0.5);
      });
      return { width: wide, height: high, data };
    };
    const reference = drawn([22, 28], 5);
    const part = seenAs(drawn([16, 26], 6), (v) => 0.9 * v + 0.06 * v * v);
    expect(applyTone(matchTone(part, reference), 0.96)).toBeCloseTo(1, 2);
  });

  it("is an offset alone where the curve is none that an exposure makes", () => {
    // Inverted: denser here is lighter there. Differences v' - v = 1.5 - 2 v lie around 0 for v around 0.75.
    const inverted = matchTone(
      dark,
      seenAs(dark, (v) => 1.5 - v),
    );
    expect(inverted).toMatchObject({ gain: 1, bend: 0 });
    expect(Math.abs(inverted.offset)).toBeLessThan(0.15);
    // Five times as steep.
    expect(
      matchTone(
        dark,
        seenAs(dark, (v) => 5 * v),
      ),
    ).toMatchObject({ gain: 1, bend: 0 });
  });

  it("is an offset alone where no more is asked for: pictures without open beam", () => {
    const die = (i: number) => i % width < 14 && Math.floor(i / width) < 15;
    const tone = matchTone(
      dark,
      seenAs(dark, (v, i) => v - 0.3 + (die(i) ? 0.4 : 0)),
      "offset",
    );
    expect(tone).toMatchObject({ gain: 1, bend: 0 });
    expect(tone.offset).toBeCloseTo(-0.3, 2);
  });

  it("passes over places without a value and stays plain where hardly any are left", () => {
    const holes = seenAs(dark, (v, i) => (i % width > 25 ? Number.NaN : v));
    const light = seenAs(dark, (v) => 0.1 + 0.7 * v);
    expect(applyTone(matchTone(holes, light), 1)).toBeCloseTo(0.8, 3);
    const none = seenAs(dark, () => Number.NaN);
    expect(matchTone(none, light)).toEqual({ offset: 0, gain: 1, bend: 0 });
  });

  it("leaves the picture it is applied to as it was", () => {
    const before = dark.data.slice();
    const after = toned(dark, { offset: 0.1, gain: 2, bend: 0.5 });
    // 0.1 + 2 v + 0.5 v^2
    expect(after.data[17]).toBeCloseTo(0.1 + 2 * before[17] + 0.5 * before[17] ** 2, 5);
    expect(dark.data).toEqual(before);
  });
});
