import { describe, expect, it } from "vitest";
import type { AffineMap } from "../../../align/similarity.ts";
import { seededRandom } from "../../../statistics/random.ts";
import { workHere } from "../part-tasks.ts";
import type { PosedLook } from "./posed-look.ts";
import { weighPoses } from "./weigh-poses.ts";

// Parts of known truth: values in a row; turned by a half, the row is read backwards.
const places = 400;
const upright: AffineMap = { a: 1, b: 0, c: 0, d: 0, e: 1, f: 0 };
const turned: AffineMap = { a: -1, b: 0, c: places - 1, d: 0, e: -1, f: 0 };

interface Drawing {
  /** How much denser the mark is that shows which way round a part lies. */
  readonly mark: number;
  /** Standard deviation of something that lies now more to one end, now more to the other. */
  readonly sway: number;
  readonly parts: number;
  /** Parts whose first look is the wrong way round. */
  readonly wrongFirst: (i: number) => boolean;
}

/** Looks of parts that all lie upright, the first look not always the right one. */
function drawnParts({ mark, sway, parts, wrongFirst }: Drawing, seed: string): PosedLook[][] {
  const random = seededRandom(seed);
  return Array.from({ length: parts }, (_, i) => {
    const values = new Float32Array(places);
    const lean = sway * random.normal();
    for (let p = 0; p < places; p++) {
      values[p] = 1 + 0.01 * random.normal();
      if (p >= 20 && p < 30) values[p] += mark;
      if (p >= 100 && p < 140) values[p] += lean;
      if (p >= 260 && p < 300) values[p] -= lean;
    }
    const looks = [
      { map: upright, values, strangeness: 0, misfit: 0.1, near: true },
      { map: turned, values: values.slice().reverse(), strangeness: 2, misfit: 0.1, near: true },
    ];
    return wrongFirst(i) ? looks.reverse() : looks;
  });
}

const lies = (looks: readonly PosedLook[], chosen: number) =>
  looks[chosen].map === upright ? "upright" : "turned";

describe("how parts lie, by the average of all", () => {
  it("decides by a small mark where something else sways, even if one in five begins the wrong way round", async () => {
    const parts = drawnParts({ mark: 0.2, sway: 0.04, parts: 30, wrongFirst: (i) => i % 5 === 2 }, "mark");
    const weighed = await weighPoses(parts, 0.01, workHere);
    expect(weighed.map(({ chosen }, i) => lies(parts[i], chosen))).toEqual(parts.map(() => "upright"));
    expect(weighed.flatMap(({ equal }) => equal)).toEqual([]);
  });

  it("says that poses are not told apart where only chance favours one", async () => {
    for (const seed of ["a", "b", "c", "d", "e", "f"]) {
      const parts = drawnParts({ mark: 0, sway: 0.1, parts: 30, wrongFirst: () => false }, seed);
      const weighed = await weighPoses(parts, 0.01, workHere);
      expect(weighed.filter(({ equal }) => equal.length === 1)).toHaveLength(30);
      // Each is left as its neighbours lie.
      expect(weighed.map(({ chosen }, i) => lies(parts[i], chosen))).toEqual(parts.map(() => "upright"));
    }
  });

  it("says so of the one part whose mark is half missing and sways, and of no other", async () => {
    const parts = drawnParts({ mark: 0.3, sway: 0.02, parts: 20, wrongFirst: () => false }, "one");
    const [odd] = parts[7];
    for (let p = 20; p < 30; p++) odd.values[p] -= 0.145;
    for (let p = places - 30; p < places - 20; p++) odd.values[p] += 0.145;
    parts[7] = [odd, { ...parts[7][1], values: odd.values.slice().reverse() }];
    const weighed = await weighPoses(parts, 0.01, workHere);
    expect(weighed[7].equal).toEqual([1]);
    expect(weighed.filter(({ equal }) => equal.length)).toHaveLength(1);
  });

  it("goes by the pair where too few show another pose", async () => {
    const parts = drawnParts({ mark: 0.3, sway: 0.02, parts: 12, wrongFirst: () => false }, "few");
    const most = parts.map((looks, i) => (i < 2 ? looks : looks.slice(0, 1)));
    most[1] = most[1].map((look) => ({ ...look, near: false }));
    const weighed = await weighPoses(most, 0.01, workHere);
    expect(weighed.map(({ equal }) => equal.length)).toEqual([1, ...new Array(11).fill(0)]);
  });

  it("leaves out what a part does not show", async () => {
    const parts = drawnParts({ mark: 0.3, sway: 0.02, parts: 20, wrongFirst: () => false }, "hidden");
    for (const [own, other] of parts.slice(0, 1)) {
      own.values.fill(Number.NaN, 200, 380);
      other.values.fill(Number.NaN, 20, 200);
    }
    expect((await weighPoses(parts, 0.01, workHere))[0]).toEqual({ chosen: 0, equal: [] });
  });
});
