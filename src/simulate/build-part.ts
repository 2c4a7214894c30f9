import type { Random } from "../statistics/random.ts";
import type { Construction, LeadMm } from "./construction.ts";
import type { BuildSpread, BuiltWire } from "./die-stack.ts";
import { ATTACH_THICKNESS_MM, bondWires, dieAttach, moved } from "./die-stack.ts";
import type { Feature, OutlineMm, PointMm } from "./feature.ts";
import { sheet } from "./feature.ts";
import type { PartFault, PlacementSpec } from "./lot-spec.ts";
import { rectangle } from "./outline.ts";
import { familyVariant } from "./packages/families.ts";

/** One part as built, in its own frame, mm. */
export interface BuiltPart {
  readonly features: readonly Feature[];
  readonly overallMm: readonly [length: number, width: number];
  readonly bodyMm: OutlineMm;
  readonly bodyZMm: number;
  readonly padMm: OutlineMm | null;
  readonly dieMm: OutlineMm | null;
  readonly dieSizeMm: readonly [number, number, number] | null;
  readonly dieTurnDeg: number;
  readonly dieShiftMm: PointMm;
  /** Heights of the middle of lead frame and die, and of the wires. */
  readonly frameZMm: number;
  readonly dieZMm: number;
  readonly wireZMm: number;
  readonly leads: readonly LeadMm[];
  readonly wires: readonly BuiltWire[];
  readonly attachVoidsMm: readonly { readonly centreMm: PointMm; readonly radiusMm: number }[];
  /** Where each fault is, for those that have a place. */
  readonly faults: readonly {
    readonly fault: PartFault;
    readonly centreMm: PointMm | null;
    readonly zMm: number;
    readonly radiusMm: number;
  }[];
}

function movedFeature(feature: Feature, shift: PointMm, turnDeg: number): Feature {
  if (feature.kind === "sheet") {
    return {
      ...feature,
      outlines: feature.outlines.map((o) => moved(o, shift, turnDeg)),
      holes: feature.holes.map((o) => moved(o, shift, turnDeg)),
    };
  }
  if (feature.kind === "wire") return { ...feature, pathMm: moved(feature.pathMm, shift, turnDeg) };
  return { ...feature, centreMm: moved([feature.centreMm], shift, turnDeg)[0] };
}

/**
 * Builds one part: package, die, attach, wires, and what is wrong with it.
 *
 * Every source of spread has its own stream, so that a fault changes nothing else in the part.
 */
export function buildPart(
  construction: Construction,
  faults: readonly PartFault[],
  spread: BuildSpread,
  placement: PlacementSpec,
  random: Random,
): BuiltPart {
  const { variant } = familyVariant(construction.family, construction.variant);
  const model = variant.build(construction, random.fork("frame"));
  const bodyRandom = random.fork("body");
  const bodyShift: PointMm = [
    placement.bodyShiftMm * bodyRandom.normal(),
    placement.bodyShiftMm * bodyRandom.normal(),
  ];
  const bodyTurn = placement.bodyTurnDeg * bodyRandom.normal();
  const [length, width] = construction.bodyMm;
  const has = (kind: PartFault["kind"]): boolean => faults.some((f) => f.kind === kind);
  const empty = has("empty-mould");
  const features: Feature[] = model.body.map((f) => movedFeature(f, bodyShift, bodyTurn));
  if (!empty) features.push(...model.frame);

  const dieRandom = random.fork("die");
  const dieShiftMm: PointMm = [
    spread.dieShiftMm * dieRandom.normal(),
    spread.dieShiftMm * dieRandom.normal(),
  ];
  const dieTurnDeg = spread.dieTurnDeg * dieRandom.normal() + (has("die-turned-90") ? 90 : 0);
  const centre: PointMm = [model.dieCentreMm[0] + dieShiftMm[0], model.dieCentreMm[1] + dieShiftMm[1]];
  const absent = faults.find((f) => f.kind === "die-absent");
  const { dieMm: die } = construction;
  const thickness = die === null ? 0 : die[2];
  const dieMiddle = model.dieZMm + ATTACH_THICKNESS_MM + thickness / 2;
  const wireHeight = model.dieZMm + ATTACH_THICKNESS_MM + thickness + 0.1;
  const hasDie = die !== null && !empty && absent === undefined;
  let dieOutline: OutlineMm | null = null;
  let wires: readonly BuiltWire[] = [];
  let attachVoidsMm: BuiltPart["attachVoidsMm"] = [];
  const placed: { fault: PartFault; centreMm: PointMm | null; zMm: number; radiusMm: number }[] = [];
  if (die !== null && !empty && (hasDie || absent?.attach === "left")) {
    const attachSize: [number, number, number] = hasDie
      ? [...die]
      : [0.8 * die[0], 0.8 * die[1], 0.1 * die[2]];
    const attach = dieAttach(
      attachSize,
      centre,
      dieTurnDeg,
      model.dieZMm,
      spread.attachVoids,
      random.fork("attach"),
    );
    features.push(...attach.features);
    attachVoidsMm = attach.voidsMm;
  }
  if (die !== null && hasDie) {
    dieOutline = moved(rectangle([0, 0], die[0], die[1]), centre, dieTurnDeg);
    features.push(sheet("silicon", die[2], dieMiddle, [dieOutline]));
    if (construction.stackedMm !== undefined) {
      const [stackedL, stackedW, stackedT] = construction.stackedMm;
      const upper = [moved(rectangle([0, 0], stackedL, stackedW), centre, dieTurnDeg)];
      const top = model.dieZMm + ATTACH_THICKNESS_MM + thickness;
      features.push(sheet("silverEpoxy", ATTACH_THICKNESS_MM, top + ATTACH_THICKNESS_MM / 2, upper));
      features.push(sheet("silicon", stackedT, top + ATTACH_THICKNESS_MM + stackedT / 2, upper));
    }
    const wirePins = model.leads.filter((l) => l.tipMm !== null).map((l) => l.pin);
    const wireFaults = new Map<number, "absent" | "broken" | "elsewhere">();
    for (const fault of faults) {
      if (fault.kind !== "wire-absent" && fault.kind !== "wire-broken" && fault.kind !== "wire-elsewhere")
        continue;
      const pin = fault.pin === "any" ? wirePins[random.fork("pin").integer(wirePins.length)] : fault.pin;
      wireFaults.set(pin, fault.kind.slice("wire-".length) as "absent" | "broken" | "elsewhere");
    }
    const size: [number, number] = [die[0], die[1]];
    const bonds = bondWires(
      construction,
      model.leads,
      centre,
      dieTurnDeg,
      size,
      wireHeight,
      spread,
      wireFaults,
      random.fork("wires"),
    );
    features.push(...bonds.features);
    wires = bonds.wires;
  }
  for (const fault of faults) {
    if (fault.kind === "foreign" || fault.kind === "void") {
      const spot = random.fork(fault.kind);
      const centreMm: PointMm = [spot.between(-0.4, 0.4) * length, spot.between(-0.4, 0.4) * width];
      const radiusMm = fault.diameterMm / 2;
      const zMm = construction.bodyThicknessMm * 0.8;
      features.push({
        kind: "ball",
        material: fault.kind === "void" ? "mould" : fault.material,
        centreMm,
        radiusMm,
        halfHeightMm: radiusMm,
        zMm,
        sign: fault.kind === "void" ? -1 : 1,
      });
      placed.push({ fault, centreMm, zMm, radiusMm });
    } else {
      const wire = wires.find((w) => w.status !== "present");
      const at = fault.kind.startsWith("wire-") ? wire : undefined;
      placed.push({
        fault,
        zMm: wireHeight,
        centreMm:
          at === undefined ? null : [(at.startMm[0] + at.endMm[0]) / 2, (at.startMm[1] + at.endMm[1]) / 2],
        radiusMm: at === undefined ? 0 : at.lengthMm / 2,
      });
    }
  }
  return {
    features,
    overallMm: model.overallMm,
    bodyMm: moved(rectangle([0, 0], length, width), bodyShift, bodyTurn),
    bodyZMm: construction.bodyThicknessMm / 2,
    padMm: empty ? null : model.padOutlineMm,
    dieMm: dieOutline,
    dieSizeMm: dieOutline === null ? null : die,
    dieTurnDeg,
    dieShiftMm,
    frameZMm: model.dieZMm - construction.frameThicknessMm / 2,
    dieZMm: dieMiddle,
    wireZMm: wireHeight,
    leads: empty ? [] : model.leads,
    wires,
    attachVoidsMm,
    faults: placed,
  };
}
