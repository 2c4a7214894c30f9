import { plainDetector } from "./detector.ts";
import type { LotSpec } from "./lot-spec.ts";
import { constructionOf } from "./packages/families.ts";
import { lotLike, noisyExposure, trayOf, twoExposures, usualExposure } from "./usual-lot.ts";

const so8 = constructionOf("g0", "SO-8", "A");
const so8OtherDie = { ...so8, id: "g1", dieMm: [1.75, 1.38, 0.28] } as const;
const qfn = constructionOf("g0", "QFN-32", "A");

/** One construction, awkwardly taken: nothing here may split a lot. */
const nuisanceLots: readonly LotSpec[] = [
  lotLike("exposure-mix", "40 SO-8 of one construction at two exposures, 20 and 20 at random.", {
    exposures: twoExposures(80),
  }),
  lotLike(
    "placement",
    "24 SO-8 of one construction at any turn, some on their backs.",
    {
      constructions: [{ construction: so8, count: 24 }],
      layout: { kind: "single", widthPx: 620, heightPx: 620 },
    },
    { turnsDeg: "any", mirroredShare: 0.3 },
  ),
  lotLike(
    "placement-fused",
    "24 SO-8 with a lead fused to the pad (no symmetry) at any turn, some on their backs.",
    {
      constructions: [{ construction: constructionOf("g0", "SO-8", "C"), count: 24 }],
      layout: { kind: "single", widthPx: 620, heightPx: 620 },
    },
    { turnsDeg: "any", mirroredShare: 0.3 },
  ),
  lotLike("on-their-backs", "24 SO-8 with a lead fused to the pad, 2 of them on their backs.", {
    constructions: [{ construction: constructionOf("g0", "SO-8", "C"), count: 24 }],
    faults: [{ fault: { kind: "mirrored" }, count: 2 }],
  }),
  lotLike(
    "quarter-turns",
    "24 SO-8 of one construction in trays, each at one of four turns.",
    { constructions: [{ construction: so8, count: 24 }], layout: { kind: "tray", rows: 2, columns: 3, gapMm: 1.8, marginMm: 0.6, walls: true, offsetMm: [0, 0] } }, // biome-ignore format: one layout
    { turnsDeg: [0, 90, 180, 270] },
  ),
  lotLike(
    "touching",
    "24 SO-8 of one construction, outer boxes touching, no tray.",
    {
      constructions: [{ construction: so8, count: 24 }],
      layout: { kind: "tray", rows: 2, columns: 3, gapMm: 0, marginMm: 0.5, walls: false, offsetMm: [0, 0] },
    },
    { shiftMm: 0, turnSpreadDeg: 0.1 },
  ),
  lotLike("cut-by-edge", "36 SO-8 of one construction in trays; the picture cuts one row and one column.", {
    constructions: [{ construction: so8, count: 36 }],
    layout: { kind: "tray", rows: 3, columns: 4, gapMm: 0.8, marginMm: 0, walls: true, offsetMm: [2.2, 2.6] },
    mmPerPx: 0.018,
  }),
  lotLike("height-3-percent", "24 SO-8 of one construction, 4 of them nearer the focal spot: 3 % larger.", {
    constructions: [{ construction: so8, count: 24 }],
    faults: [{ fault: { kind: "scale", factor: 1.03 }, count: 4 }],
  }),
  lotLike("noisy", "40 SO-8 of one construction, few photons, uneven gain, heel effect.", {
    exposures: [noisyExposure],
  }),
  lotLike("saturated", "24 SO-8 of one construction; open beam saturated, 9 bits left-justified.", {
    constructions: [{ construction: so8, count: 24 }],
    exposures: [
      { ...usualExposure, detector: { ...plainDetector, openBeamGrey: 5600, greyStep: 8, openBeamSnr: 300 } },
    ],
  }),
  lotLike(
    "inverted-8-bit",
    "24 SO-8 of one construction, dense is bright, 8 bits; the file does not say so.",
    {
      constructions: [{ construction: so8, count: 24 }],
      exposures: [{ ...usualExposure, detector: { ...plainDetector, inverted: true, bits: 8 } }],
    },
  ),
  lotLike("inverted-tagged", "24 SO-8 of one construction, dense is bright, tagged min-is-white.", {
    constructions: [{ construction: so8, count: 24 }],
    exposures: [{ ...usualExposure, detector: { ...plainDetector, inverted: true, minIsWhite: true } }],
  }),
  lotLike(
    "cone",
    "24 QFN-32 of one construction in trays close to the focal spot: parts off the axis lean.",
    { constructions: [{ construction: qfn, count: 24 }], layout: trayOf(2, 3), sourceDistanceMm: 40 },
    { tiltSpreadDeg: 1 },
  ),
  lotLike(
    "wide-spread",
    "24 SO-8 of one construction with wide wire sway, die shift and many attach voids.",
    {
      constructions: [{ construction: so8, count: 24 }],
      spread: { dieShiftMm: 0.05, dieTurnDeg: 1.5, wireSway: 0.07, attachVoids: 6 },
    },
  ),
];

/** Lots in which something is to be found. */
const mixedLots: readonly LotSpec[] = [
  lotLike("other-die-8-percent", "40 SO-8, 3 with a die 8 % longer and wider.", {
    constructions: [
      { construction: so8, count: 37 },
      { construction: so8OtherDie, count: 3 },
    ],
  }),
  lotLike("other-die-minus-8-percent", "24 QFN-32 in trays, 2 with a die 8 % shorter and narrower.", {
    constructions: [
      { construction: qfn, count: 22 },
      { construction: { ...qfn, id: "g1", dieMm: [2.116, 1.886, 0.2] }, count: 2 },
    ],
    layout: trayOf(2, 3),
  }),
  lotLike("other-frame-few", "40 SO-8, 3 with the same die on another lead frame.", {
    constructions: [
      { construction: so8, count: 37 },
      { construction: constructionOf("g1", "SO-8", "B"), count: 3 },
    ],
  }),
  lotLike("other-frame-material-few", "40 SO-8, 3 with the same lead frame in alloy 42.", {
    constructions: [
      { construction: so8, count: 37 },
      { construction: { ...so8, id: "g1", frameMaterial: "alloy42" }, count: 3 },
    ],
  }),
  lotLike("half-half", "24 SO-8 in trays of 12, two lead frames half and half, the same die.", {
    constructions: [
      { construction: so8, count: 12 },
      { construction: constructionOf("g1", "SO-8", "B"), count: 12 },
    ],
    layout: trayOf(3, 4),
  }),
  lotLike("die-absent-few", "40 SO-8, 3 without a die: two without attach, one with it left.", {
    faults: [
      { fault: { kind: "die-absent", attach: "none" }, count: 2 },
      { fault: { kind: "die-absent", attach: "left" }, count: 1 },
    ],
  }),
  lotLike("die-absent-tape", "40 SO-16 in tape with aluminium wires, 2 without a die.", {
    constructions: [
      {
        construction: constructionOf("g0", "SO-16", "A", {
          wire: { material: "aluminium", diameterMm: 0.025 },
        }),
        count: 40,
      },
    ],
    faults: [{ fault: { kind: "die-absent", attach: "none" }, count: 2 }],
    layout: { kind: "tape", columns: 5, quarters: 1 },
    mmPerPx: 0.0218,
  }),
  lotLike("wire-faults", "40 SO-8: a wire absent in one, broken in one, elsewhere in one.", {
    faults: [
      { fault: { kind: "wire-absent", pin: "any" }, count: 1 },
      { fault: { kind: "wire-broken", pin: "any" }, count: 1 },
      { fault: { kind: "wire-elsewhere", pin: "any" }, count: 1 },
    ],
  }),
  lotLike(
    "odd-ones",
    "40 SO-8: a solder bead, a void in the mould, an empty mould, a die turned by 90 degrees.",
    {
      faults: [
        { fault: { kind: "foreign", diameterMm: 0.2, material: "tinSilverCopper" }, count: 1 },
        { fault: { kind: "void", diameterMm: 0.7 }, count: 1 },
        { fault: { kind: "empty-mould" }, count: 1 },
        { fault: { kind: "die-turned-90" }, count: 1 },
      ],
    },
  ),
  lotLike(
    "other-chips-few",
    "40 chip capacitors 0805 in tape, 3 with thicker electrodes and narrower margins.",
    {
      constructions: [
        { construction: constructionOf("g0", "CAP-0805", "A"), count: 37 },
        { construction: constructionOf("g1", "CAP-0805", "B"), count: 3 },
      ],
      layout: { kind: "tape", columns: 8, quarters: 1 },
      mmPerPx: 0.016,
      exposures: [{ ...usualExposure, kv: 110 }],
    },
  ),
];

/** Lots under a condition or with something to find. */
export const conditionLots: readonly LotSpec[] = [...nuisanceLots, ...mixedLots];
