import type { Random } from "../statistics/random.ts";
import { seededRandom } from "../statistics/random.ts";
import type { BuiltPart } from "./build-part.ts";
import { buildPart } from "./build-part.ts";
import { LotSpecError } from "./errors.ts";
import type { PointMm } from "./feature.ts";
import type { PictureLayout } from "./layout.ts";
import { layOut } from "./layout.ts";
import type { LotSpec, PartFault } from "./lot-spec.ts";
import type { Camera, Pose } from "./projection.ts";
import { projection } from "./projection.ts";

/** A part with its place. */
export interface PlannedPart {
  readonly id: string;
  readonly index: number;
  readonly picture: number;
  readonly constructionId: string;
  readonly built: BuiltPart;
  readonly pose: Pose;
  /** Its outer box crosses the picture's edge. */
  readonly cutByEdge: boolean;
}

/** A lot with every draw of chance made but those of the detector. */
export interface LotPlan {
  readonly spec: LotSpec;
  readonly seed: number;
  readonly layout: PictureLayout;
  readonly camera: Camera;
  readonly pictures: readonly { readonly file: string; readonly exposure: number }[];
  readonly parts: readonly PlannedPart[];
}

function poseOf(
  slot: PointMm,
  layout: PictureLayout,
  spec: LotSpec,
  faults: readonly PartFault[],
  random: Random,
): Pose {
  const { placement } = spec;
  let turnDeg = layout.turnDeg + placement.turnSpreadDeg * random.normal();
  if (placement.turnsDeg === "any") turnDeg += 360 * random.uniform();
  else turnDeg += placement.turnsDeg[random.integer(placement.turnsDeg.length)];
  let mirrored = random.uniform() < placement.mirroredShare;
  let scale = 1 + placement.scaleSpread * random.normal();
  let [tiltX, tiltY] = [0, 0];
  for (const fault of faults) {
    if (fault.kind === "mirrored") mirrored = !mirrored;
    if (fault.kind === "scale") scale *= fault.factor;
    if (fault.kind === "turned") turnDeg += fault.turnDeg;
    if (fault.kind === "tilted") {
      const tilt = random.fork("tilt");
      const size = fault.upToDeg * tilt.between(0.4, 1);
      const axis = 2 * Math.PI * tilt.uniform();
      [tiltX, tiltY] = [size * Math.cos(axis), size * Math.sin(axis)];
    }
  }
  return {
    centreMm: [slot[0] + placement.shiftMm * random.normal(), slot[1] + placement.shiftMm * random.normal()],
    turnDeg: ((turnDeg + 180) % 360) - 180,
    mirrored,
    scale,
    tiltDeg: [
      tiltX + placement.tiltSpreadDeg * random.normal(),
      tiltY + placement.tiltSpreadDeg * random.normal(),
    ],
  };
}

function outOfField(built: BuiltPart, pose: Pose, layout: PictureLayout, camera: Camera): boolean {
  const project = projection(pose, camera);
  const [a, b] = [built.overallMm[0] / 2, built.overallMm[1] / 2];
  return [
    [-a, -b],
    [a, -b],
    [a, b],
    [-a, b],
  ].some(([x, y]) => {
    // biome-ignore format: four corners
    const [px, py] = project([x, y], built.bodyZMm);
    return px < 0 || py < 0 || px > layout.widthPx - 1 || py > layout.heightPx - 1;
  });
}

/** Names of constructions part by part, in an order of chance. */
function assignConstructions(spec: LotSpec, random: Random): string[] {
  const names = spec.constructions.flatMap((c) => Array.from({ length: c.count }, () => c.construction.id));
  return random.order(names.length).map((i) => names[i]);
}

/** Faults part by part, given to whole parts of the first construction. */
function assignFaults(
  spec: LotSpec,
  ids: readonly string[],
  whole: readonly boolean[],
  random: Random,
): PartFault[][] {
  const faults: PartFault[][] = ids.map(() => []);
  const main = spec.constructions[0].construction.id;
  const candidates = random.order(ids.length).filter((i) => ids[i] === main && whole[i]);
  const wanted = spec.faults.flatMap((f) => Array.from({ length: f.count }, () => f.fault));
  if (wanted.length > candidates.length) {
    throw new LotSpecError(
      "faults",
      `at most ${candidates.length} (whole parts of ${main})`,
      String(wanted.length),
    );
  }
  wanted.forEach((fault, i) => {
    faults[candidates[i]].push(fault);
  });
  return faults;
}

/**
 * Decides a lot: which part is which, how each is built and where it lies.
 *
 * @throws LotSpecError when the specification cannot be met
 */
export function planLot(spec: LotSpec, seed: number): LotPlan {
  if (spec.constructions.length === 0) throw new LotSpecError("constructions", "at least one", "none");
  const random = seededRandom(`${spec.name}/${seed}`);
  const ids = assignConstructions(spec, random.fork("constructions"));
  const byId = new Map(spec.constructions.map((c) => [c.construction.id, c.construction]));
  const build = (i: number, faults: readonly PartFault[]): BuiltPart => {
    const construction = byId.get(ids[i]) ?? spec.constructions[0].construction;
    return buildPart(construction, faults, spec.spread, spec.placement, random.fork(`part ${i}`));
  };
  const plain = ids.map((_, i) => build(i, []));
  const overall: [number, number] = [
    Math.max(...plain.map((p) => p.overallMm[0])),
    Math.max(...plain.map((p) => p.overallMm[1])),
  ];
  const layout = layOut(spec.layout, overall, spec.mmPerPx);
  const camera: Camera = {
    mmPerPx: spec.mmPerPx,
    sourceDistanceMm: spec.sourceDistanceMm,
    axisMm: [(layout.widthPx * spec.mmPerPx) / 2, (layout.heightPx * spec.mmPerPx) / 2],
  };
  const perPicture = layout.slotsMm.length;
  const pose = (i: number, faults: readonly PartFault[]): Pose => {
    return poseOf(layout.slotsMm[i % perPicture], layout, spec, faults, random.fork(`pose ${i}`));
  };
  const whole = ids.map((_, i) => !outOfField(plain[i], pose(i, []), layout, camera));
  const faults = assignFaults(spec, ids, whole, random.fork("faults"));
  const parts = ids.map((constructionId, index): PlannedPart => {
    const built = faults[index].length === 0 ? plain[index] : build(index, faults[index]);
    const own = pose(index, faults[index]);
    return {
      id: `${spec.name}-${String(index).padStart(3, "0")}`,
      index,
      picture: Math.floor(index / perPicture),
      constructionId,
      built,
      pose: own,
      cutByEdge: outOfField(built, own, layout, camera),
    };
  });
  const count = Math.ceil(ids.length / perPicture);
  const order = random.fork("exposures").order(count);
  const pictures = order.map((k, i) => ({ file: layout.file(i), exposure: k % spec.exposures.length }));
  return { spec, seed, layout, camera, pictures, parts };
}
