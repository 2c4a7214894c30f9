import { describe, expect, it } from "vitest";
import type { Tone } from "../placing/match-tone.ts";
import { applyTone, unapplyTone } from "../placing/match-tone.ts";
import { settleLevels } from "./settle-levels.ts";

// Levels and tones are made up so that the answer is known.

const none: Tone = { offset: 0, gain: 1, bend: 0 };
const other: Tone = { offset: 0.05, gain: 0.8, bend: 0.1 };
const levels = (mould: number, metal: number) => ({ mould, metal, between: (mould + metal) / 2 });
const usual = Array.from({ length: 6 }, () => levels(2.26, 2.38));

describe("the levels of mould and metal", () => {
  it("of a part whose threshold fell elsewhere are the others', in its own tone", () => {
    const rim = levels(1.76, 2.38);
    const same = settleLevels([...usual, rim], [...usual.map(() => none), none]);
    expect(same.slice(0, 6)).toEqual(usual);
    expect(same[6]).toEqual({ mould: 2.26, metal: 2.38, between: (2.26 + 2.38) / 2 });
    const toned = settleLevels([...usual, rim], [...usual.map(() => none), other])[6];
    expect(applyTone(other, toned?.mould ?? 0)).toBeCloseTo(2.26, 9);
    expect(applyTone(other, toned?.metal ?? 0)).toBeCloseTo(2.38, 9);
  });

  it("are kept where exposure alone differs, or the metal does", () => {
    const exposed = levels(unapplyTone(other, 2.26), unapplyTone(other, 2.38));
    expect(settleLevels([...usual, exposed], [...usual.map(() => none), other])[6]).toEqual(exposed);
    const thicker = levels(2.26, 2.6);
    expect(settleLevels([...usual, thicker], [...usual.map(() => none), none])[6]).toEqual(thicker);
  });

  it("are kept in lots too small to say what is usual", () => {
    const few = [levels(2.26, 2.38), levels(1.76, 2.38)];
    expect(settleLevels(few, [none, none])).toEqual(few);
  });
});
