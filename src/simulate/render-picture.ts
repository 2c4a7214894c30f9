import type { MaterialName } from "../physics/material.ts";
import { beamSpectrum } from "../physics/spectrum.ts";
import { seededRandom } from "../statistics/random.ts";
import { detect } from "./detector.ts";
import type { Feature } from "./feature.ts";
import type { LotPlan } from "./plan-lot.ts";
import { primaryBeam } from "./primary-beam.ts";
import type { Pose } from "./projection.ts";
import { projection } from "./projection.ts";
import type { PlacedFeatures } from "./thickness.ts";

/** A simulated radiograph: row-major samples, `width * height`. */
export interface SimulatedPicture {
  readonly name: string;
  readonly width: number;
  readonly height: number;
  readonly samples: Uint16Array;
  /** Bits of the container: values fit in them. */
  readonly bits: 8 | 16;
  /** What the file should say of its values. */
  readonly minIsWhite: boolean;
}

/** Matter that never takes the place of mould. */
const OUTSIDE: ReadonlySet<MaterialName> = new Set<MaterialName>([
  "polystyrene",
  "laminate",
  "tinSilverCopper",
  "tinLead",
  "alumina",
  "bariumTitanate",
  "nickel",
  "tin",
]);

/** Energy step of the beam in keV when pictures are made; `transmission.test.ts` bounds what it costs. */
const STEP_KEV = 2;

const FLAT: Pose = { centreMm: [0, 0], turnDeg: 0, mirrored: false, scale: 1, tiltDeg: [0, 0] };

function dustSpecks(plan: LotPlan, index: number): Feature[] {
  const random = seededRandom(`${plan.spec.name}/${plan.seed}/dust ${index}`);
  const count = Math.floor(plan.spec.dust * 2 * random.uniform() + 0.5);
  const { widthPx, heightPx } = plan.layout;
  return Array.from({ length: count }, (): Feature => {
    const radiusMm = plan.spec.mmPerPx * random.between(1, 4);
    return {
      kind: "ball",
      material: random.uniform() < 0.5 ? "polystyrene" : "laminate",
      centreMm: [
        random.uniform() * widthPx * plan.spec.mmPerPx,
        random.uniform() * heightPx * plan.spec.mmPerPx,
      ],
      radiusMm,
      halfHeightMm: 2 * radiusMm,
      zMm: 0,
      sign: 1,
    };
  });
}

/** Everything in the beam of one picture of a plan. */
export function placedFeatures(plan: LotPlan, index: number): PlacedFeatures[] {
  const { mmPerPx } = plan.camera;
  const still = {
    project: projection(FLAT, { ...plan.camera, sourceDistanceMm: null }),
    pxPerMm: 1 / mmPerPx,
  };
  return [
    { ...still, features: plan.layout.carrier },
    { ...still, features: dustSpecks(plan, index) },
    ...plan.parts
      .filter((p) => p.picture === index)
      .map((p) => ({
        features: p.built.features,
        project: projection(p.pose, plan.camera),
        pxPerMm: p.pose.scale / mmPerPx,
      })),
  ];
}

/** One radiograph of a plan. The same plan and index give the same samples. */
export function renderPicture(plan: LotPlan, index: number): SimulatedPicture {
  const { file, exposure } = plan.pictures[index];
  const { kv, filterMm, detector } = plan.spec.exposures[exposure];
  const spectrum = beamSpectrum({ kv, filterMm, stepKev: STEP_KEV });
  const { widthPx: width, heightPx: height } = plan.layout;
  const primary = primaryBeam(width, height, placedFeatures(plan, index), spectrum, OUTSIDE);
  const seed = `${plan.spec.name}/${plan.seed}`;
  const samples = detect(
    primary,
    detector,
    seededRandom(`${seed}/noise ${index}`),
    seededRandom(`${seed}/gain`),
  );
  return { name: file, width, height, samples, bits: detector.bits, minIsWhite: detector.minIsWhite };
}
