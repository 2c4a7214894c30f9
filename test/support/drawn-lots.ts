import type { DrawnPose } from "./drawn-lot.ts";
import { drawnPart } from "./drawn-part.ts";
import { slab } from "./drawn-radiograph.ts";

/** Die 44 x 24 in place of 36 x 24. */
const longDie = [...drawnPart("die"), slab(0.3, [-22, -12], [21, 11])];
/** A dense particle, 6 x 6 px, in the mould beside the pad: its middle is (41.5, 21.5). */
const particle = [...drawnPart(), slab(0.7, [39, 19], [44, 24])];

/** Ten parts as they lie in everyday lots, one at another exposure: none has anything wrong. */
const goodTen: readonly DrawnPose[] = [
  {},
  { turnDeg: 180.6 },
  { turnDeg: -1.1, centrePx: [118.2, 101] },
  { turnDeg: 0.7 },
  { gain: 0.9 },
  { turnDeg: 179 },
  { turnDeg: 1.2 },
  { centrePx: [123.4, 98.8] },
  { turnDeg: 180 },
  { turnDeg: 0.4 },
];

/** Ten of which one has no die and one a particle in its mould. */
export const faultyTen = {
  empty: 3,
  dirty: 8,
  poses: goodTen.map((pose, i) => ({
    ...pose,
    ...(i === 3 ? { part: drawnPart("die") } : {}),
    ...(i === 8 ? { part: particle } : {}),
  })),
};

/** Nine of which one has a die that is 8 px longer. */
export const oneLongDie = {
  odd: 6,
  poses: goodTen.slice(0, 9).map((pose, i) => (i === 6 ? { ...pose, part: longDie } : pose)),
};
