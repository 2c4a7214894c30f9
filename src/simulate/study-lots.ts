import type { Construction } from "./construction.ts";
import type { LotSpec, PartFault } from "./lot-spec.ts";
import { constructionOf } from "./packages/families.ts";
import type { StudyPackage } from "./study-packages.ts";
import { faultPackages, nullPackages } from "./study-packages.ts";
import type { PlacementChanges } from "./usual-lot.ts";
import { lotLike, noisyExposure, twoExposures, usualExposure } from "./usual-lot.ts";

/** A lot of a study: which condition, in which package. */
export interface StudyLot {
  readonly kind: string;
  readonly package: string;
  readonly spec: LotSpec;
}

type FaultPackage = (typeof faultPackages)[number];

/** What a condition changes in a lot of `parts` of one construction. */
interface Condition {
  readonly says: string;
  readonly changes: (own: FaultPackage, usual: Construction) => Partial<LotSpec> | null;
}

/** Parts of a second construction in the lot. */
function mixedWith(own: FaultPackage, usual: Construction, other: Construction, count: number) {
  return {
    constructions: [
      { construction: usual, count: own.parts - count },
      { construction: { ...other, id: "g1" }, count },
    ],
  };
}

const faulty = (fault: PartFault) => (own: FaultPackage) => ({ faults: [{ fault, count: own.odd }] });

function dieScaled(usual: Construction, factor: number): Construction {
  const [length, width, thickness] = usual.dieMm ?? [0, 0, 0];
  const round = (mm: number) => Math.round(mm * factor * 1000) / 1000;
  return { ...usual, dieMm: [round(length), round(width), thickness] };
}

const otherFrame = (usual: Construction, variant: string): Construction => {
  return constructionOf("g1", usual.family as FaultPackage["family"], variant);
};

const conditions: Readonly<Record<string, Condition>> = {
  "die-8-percent": {
    says: "a few with a die 8 % shorter and narrower",
    changes: (own, usual) => mixedWith(own, usual, dieScaled(usual, 0.92), own.odd),
  },
  "other-frame": {
    says: "a few with the same die on another lead frame",
    changes: (own, usual) => mixedWith(own, usual, otherFrame(usual, "B"), own.odd),
  },
  "fused-few": {
    says: "a few with one lead fused to the pad",
    changes: (own, usual) => {
      const has = own.family === "SO-8" || own.family === "SO-14" || own.family === "SO-16";
      return has ? mixedWith(own, usual, otherFrame(usual, "D"), own.odd) : null;
    },
  },
  "stacked-few": {
    says: "a few with a second die on the first",
    changes: (own, usual) => {
      if (own.family !== "TSOP-54" && own.family !== "QFN-32" && own.family !== "LQFP-48") return null;
      const { dieMm } = usual;
      if (dieMm === null) return null;
      const stackedMm = [0.75 * dieMm[0], 0.7 * dieMm[1], 0.15] as const;
      return mixedWith(own, usual, { ...usual, stackedMm }, own.odd);
    },
  },
  "wire-absent": { says: "a wire absent in a few", changes: faulty({ kind: "wire-absent", pin: "any" }) },
  "wire-broken": { says: "a wire broken in a few", changes: faulty({ kind: "wire-broken", pin: "any" }) },
  "wire-elsewhere": {
    says: "a wire to another place on the die in a few",
    changes: faulty({ kind: "wire-elsewhere", pin: "any" }),
  },
  "no-die": {
    says: "a few without die and wires",
    changes: faulty({ kind: "die-absent", attach: "none" }),
  },
  "empty-mould": { says: "a few of mould alone", changes: faulty({ kind: "empty-mould" }) },
  "half-half": {
    says: "two lead frames half and half, the same die",
    changes: (own, usual) => mixedWith(own, usual, otherFrame(usual, "B"), Math.floor(own.parts / 2)),
  },
  "half-bonded-otherwise": {
    says: "one construction, bonded to other pins in half of the parts",
    changes: (own, usual) => {
      const pins = pinsOf(own);
      const all = Array.from({ length: pins }, (_, i) => i + 1);
      const without = (pin: number) => ({ ...usual, bonded: all.filter((p) => p !== pin) });
      return {
        constructions: [
          { construction: without(2), count: Math.ceil(own.parts / 2) },
          { construction: { ...without(pins - 1), id: "g1" }, count: Math.floor(own.parts / 2) },
        ],
      };
    },
  },
  "mixed-kv": {
    says: "one construction at two tube voltages and exposures",
    changes: (own) => ({ exposures: twoExposures(own.kv) }),
  },
  "height-3-percent": {
    says: "one construction, a few nearer the focal spot: 3 % larger",
    changes: faulty({ kind: "scale", factor: 1.03 }),
  },
  mirrored: { says: "one construction, a few on their backs", changes: faulty({ kind: "mirrored" }) },
  tilted: {
    says: "one construction, a few tilted by 2 to 5 degrees",
    changes: faulty({ kind: "tilted", upToDeg: 5 }),
  },
  noisy: {
    says: "one construction, few photons, uneven gain, heel effect",
    changes: (own) => ({ exposures: [{ ...noisyExposure, kv: own.kv }] }),
  },
  "three-parts": {
    says: "three parts of one construction",
    changes: (_own, usual) => ({ constructions: [{ construction: usual, count: 3 }] }),
  },
};

/** Pins of a package, by the number in its name. */
function pinsOf(own: StudyPackage): number {
  return Number(/(\d+)$/.exec(own.family)?.[1]);
}

function laid(own: StudyPackage): Partial<LotSpec> {
  return { layout: own.layout, mmPerPx: own.mmPerPx, exposures: [{ ...usualExposure, kv: own.kv }] };
}

/** Lots with one condition each, in eight packages. */
export const studyLots: readonly StudyLot[] = Object.entries(conditions).flatMap(
  ([kind, { says, changes }]) =>
    faultPackages.flatMap((own): StudyLot[] => {
      const usual = constructionOf("g0", own.family, own.variant);
      const changed = changes(own, usual);
      if (changed === null) return [];
      const plain = { constructions: [{ construction: usual, count: own.parts }], ...laid(own) };
      const spec = { ...plain, ...changed };
      const parts = spec.constructions.reduce((sum, c) => sum + c.count, 0);
      return [
        {
          kind,
          package: own.key,
          spec: lotLike(`${own.key}-${kind}`, `${parts} ${own.family}: ${says}.`, spec),
        },
      ];
    }),
);

interface NullCondition {
  readonly says: string;
  readonly changes: (own: StudyPackage, usual: Construction) => Partial<LotSpec>;
  readonly placement: PlacementChanges;
}

const nullConditions: Readonly<Record<string, NullCondition>> = {
  straight: { says: "all lie alike", changes: () => ({}), placement: {} },
  "half-turns": {
    says: "half turns, a fifth on their backs",
    changes: () => ({}),
    placement: { turnsDeg: [0, 180], mirroredShare: 0.2 },
  },
  "any-turn": {
    says: "any turn, a third on their backs, one a picture",
    changes: (own, usual) => {
      // Leads reach at most 1.1 mm out on each side (a ceramic's 2 mm).
      const reach = own.family === "CERAMIC-14" ? 4.2 : 2.4;
      const side = Math.ceil(
        (1.08 * Math.hypot(usual.bodyMm[0] + reach, usual.bodyMm[1] + reach)) / own.mmPerPx,
      );
      return { layout: { kind: "single", widthPx: side, heightPx: side } };
    },
    placement: { turnsDeg: "any", mirroredShare: 0.33 },
  },
  "two-exposures": {
    says: "two tube voltages and exposures",
    changes: (own) => ({ exposures: twoExposures(own.kv) }),
    placement: {},
  },
};

/** Lots of one construction and nothing wrong, in ways to lie that leave a part's pose in doubt. */
export const studyNullLots: readonly StudyLot[] = Object.entries(nullConditions).flatMap(
  ([kind, { says, changes, placement }]) =>
    nullPackages.map((own): StudyLot => {
      const usual = constructionOf("g0", own.family, own.variant);
      const spec = {
        constructions: [{ construction: usual, count: 16 }],
        ...laid(own),
        ...changes(own, usual),
      };
      const name = `${own.key}-null-${kind}`;
      return {
        kind,
        package: own.key,
        spec: lotLike(name, `16 ${own.family} of one construction: ${says}.`, spec, placement),
      };
    }),
);
