import { plainDetector } from "./detector.ts";
import { constructionOf } from "./packages/families.ts";
import { lotLike, trayOf, usualExposure } from "./usual-lot.ts";

/** The bundled demonstration was drawn with this seed; another changes every picture. */
export const demoSeed = 1;

/** The bundled demonstration, demo/lot: an invented reel bought outside of the authorised channel. */
export const demoLot = lotLike(
  "demo",
  "Invented: 24 SO-8 from a reel bought outside of the authorised channel. 22 are of one construction, one of them without a die; 2 hold another die on another lead frame.",
  {
    constructions: [
      { construction: constructionOf("usual", "SO-8", "A"), count: 22 },
      { construction: constructionOf("other", "SO-8", "B", { dieMm: [1.9, 1.5, 0.28] }), count: 2 },
    ],
    faults: [{ fault: { kind: "die-absent", attach: "none" }, count: 1 }],
    layout: trayOf(2, 3),
    mmPerPx: 0.0225,
    // A short exposure and a slight heel effect: an everyday cabinet, and smaller files.
    exposures: [
      {
        ...usualExposure,
        detector: {
          ...plainDetector,
          openBeamSnr: 200,
          openBeamGrey: 1700,
          heelShare: 0.06,
          falloffShare: 0.03,
        },
      },
    ],
  },
  { turnsDeg: [0, 180] },
);
