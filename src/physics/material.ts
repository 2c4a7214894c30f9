/** What a piece of an electronic part is made of: density and weight fractions of the elements. */
export interface Material {
  readonly densityGPerCm3: number;
  /** Weight fraction per element symbol; they sum to 1. */
  readonly weights: Readonly<Record<string, number>>;
}

const ATOMIC_WEIGHTS: Readonly<Record<string, number>> = {
  H: 1.008,
  B: 10.81,
  C: 12.011,
  N: 14.007,
  O: 15.999,
  Al: 26.982,
  Si: 28.085,
  S: 32.06,
  Ca: 40.078,
  Ti: 47.867,
  Sb: 121.76,
  I: 126.904,
  Cs: 132.905,
  Ba: 137.327,
};

type Formula = Readonly<Record<string, number>>;
const EPOXY: Formula = { C: 21, H: 24, O: 4 };
const SILICA: Formula = { Si: 1, O: 2 };

/** Weight fractions of a blend: `[weight, formula]`, formula in atoms. Weights are normalised. */
function blend(parts: readonly (readonly [weight: number, formula: Formula])[]): Record<string, number> {
  const total = parts.reduce((sum, [weight]) => sum + weight, 0);
  const weights: Record<string, number> = {};
  for (const [weight, formula] of parts) {
    const entries = Object.entries(formula).map(
      ([s, n]) => [s, n * (ATOMIC_WEIGHTS[s] ?? Number.NaN)] as const,
    );
    const mass = entries.reduce((sum, [, m]) => sum + m, 0);
    for (const [symbol, m] of entries)
      weights[symbol] = (weights[symbol] ?? 0) + ((weight / total) * m) / mass;
  }
  return weights;
}

const fibreglass = blend([
  [0.54, SILICA],
  [0.14, { Al: 2, O: 3 }],
  [0.22, { Ca: 1, O: 1 }],
  [0.1, { B: 2, O: 3 }],
]);

function mixWeights(
  parts: readonly (readonly [number, Readonly<Record<string, number>>])[],
): Record<string, number> {
  const weights: Record<string, number> = {};
  for (const [share, composition] of parts) {
    for (const [symbol, w] of Object.entries(composition))
      weights[symbol] = (weights[symbol] ?? 0) + share * w;
  }
  return weights;
}

/**
 * Materials of parts, carriers and detectors by name. Densities of elements: xraylib. Of alloys and
 * compounds: from memory. Compositions of mould compound, die attach and laminate: common practice;
 * makers differ, so never take a verdict from their absolute attenuation.
 */
export const materials = {
  /** Green mould compound: 86 wt% fused silica, 14 wt% epoxy; density by volume mixing of 2.20 and 1.20. */
  mould: {
    densityGPerCm3: 1.97,
    weights: blend([
      [0.86, SILICA],
      [0.14, EPOXY],
    ]),
  },
  copper: { densityGPerCm3: 8.96, weights: { Cu: 1 } },
  alloy42: { densityGPerCm3: 8.11, weights: { Fe: 0.58, Ni: 0.42 } },
  kovar: { densityGPerCm3: 8.36, weights: { Fe: 0.54, Ni: 0.29, Co: 0.17 } },
  silicon: { densityGPerCm3: 2.33, weights: { Si: 1 } },
  /** Silver-filled die attach: 75 wt% silver, 25 wt% epoxy; density by volume mixing of 10.5 and 1.20. */
  silverEpoxy: {
    densityGPerCm3: 3.57,
    weights: mixWeights([
      [0.75, { Ag: 1 }],
      [0.25, blend([[1, EPOXY]])],
    ]),
  },
  gold: { densityGPerCm3: 19.32, weights: { Au: 1 } },
  silver: { densityGPerCm3: 10.5, weights: { Ag: 1 } },
  aluminium: { densityGPerCm3: 2.6989, weights: { Al: 1 } },
  nickel: { densityGPerCm3: 8.902, weights: { Ni: 1 } },
  tin: { densityGPerCm3: 7.31, weights: { Sn: 1 } },
  zinc: { densityGPerCm3: 7.133, weights: { Zn: 1 } },
  tantalum: { densityGPerCm3: 16.654, weights: { Ta: 1 } },
  tungsten: { densityGPerCm3: 19.3, weights: { W: 1 } },
  lead: { densityGPerCm3: 11.35, weights: { Pb: 1 } },
  beryllium: { densityGPerCm3: 1.848, weights: { Be: 1 } },
  tinSilverCopper: { densityGPerCm3: 7.4, weights: { Sn: 0.965, Ag: 0.03, Cu: 0.005 } },
  tinLead: { densityGPerCm3: 8.4, weights: { Sn: 0.63, Pb: 0.37 } },
  alumina: { densityGPerCm3: 3.9, weights: blend([[1, { Al: 2, O: 3 }]]) },
  bariumTitanate: { densityGPerCm3: 6.02, weights: blend([[1, { Ba: 1, Ti: 1, O: 3 }]]) },
  /** Halogen-free laminate: 60 wt% glass fibre (54/14/22/10 silica, alumina, lime, boria), 40 wt% epoxy. */
  laminate: {
    densityGPerCm3: 1.85,
    weights: mixWeights([
      [0.6, fibreglass],
      [0.4, blend([[1, EPOXY]])],
    ]),
  },
  polystyrene: { densityGPerCm3: 1.05, weights: blend([[1, { C: 8, H: 8 }]]) },
  caesiumIodide: { densityGPerCm3: 4.51, weights: blend([[1, { Cs: 1, I: 1 }]]) },
} as const satisfies Readonly<Record<string, Material>>;

/** Name of a known material. */
export type MaterialName = keyof typeof materials;
