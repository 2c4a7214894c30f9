import type { PointPx } from "../numeric/image.ts";
import type { MaterialName } from "../physics/material.ts";
import { beamSpectrum } from "../physics/spectrum.ts";
import { transmission } from "../physics/transmission.ts";
import type { Construction } from "./construction.ts";
import { ATTACH_THICKNESS_MM } from "./die-stack.ts";
import type { OutlineMm } from "./feature.ts";
import { PLACEMENT_FAULTS } from "./lot-spec.ts";
import type { LotPlan, PlannedPart } from "./plan-lot.ts";
import { projection } from "./projection.ts";

/** Rounds to 1/10000 px or mm: finer than any measurement. */
function tidy(x: number): number {
  return Math.round(x * 1e4) / 1e4;
}

function tidyPoint([x, y]: PointPx): [number, number] {
  return [tidy(x), tidy(y)];
}

function partTruth(plan: LotPlan, part: PlannedPart) {
  const { built, pose } = part;
  const project = projection(pose, plan.camera);
  const corners = (outline: OutlineMm, z: number) => outline.map((p) => tidyPoint(project(p, z)));
  const frameZ = built.frameZMm;
  const pxPerMm = pose.scale / plan.camera.mmPerPx;
  return {
    id: part.id,
    index: part.index,
    construction: part.constructionId,
    suspect: isSuspect(plan, part),
    cut_by_edge: part.cutByEdge,
    faults: built.faults.map(({ fault, centreMm, zMm, radiusMm }) => ({
      ...fault,
      center_px: centreMm === null ? null : tidyPoint(project(centreMm, zMm)),
      radius_px: tidy(radiusMm * pxPerMm),
    })),
    rotation_deg: tidy(pose.turnDeg),
    mirrored: pose.mirrored,
    scale: tidy(pose.scale),
    tilt_deg: [tidy(pose.tiltDeg[0]), tidy(pose.tiltDeg[1])],
    center_mm: [tidy(pose.centreMm[0]), tidy(pose.centreMm[1])],
    center_px: tidyPoint(project([0, 0], frameZ)),
    body_corners_px: corners(built.bodyMm, built.bodyZMm),
    paddle_corners_px: built.padMm === null ? null : corners(built.padMm, frameZ),
    die:
      built.dieMm === null || built.dieSizeMm === null
        ? { present: false }
        : {
            present: true,
            size_mm: [built.dieSizeMm[0], built.dieSizeMm[1]],
            thickness_mm: built.dieSizeMm[2],
            corners_px: corners(built.dieMm, built.dieZMm),
            rotation_deg_rel: tidy(built.dieTurnDeg),
            offset_mm: [tidy(built.dieShiftMm[0]), tidy(built.dieShiftMm[1])],
          },
    leads: built.leads.map((lead) => ({
      pin: lead.pin,
      tip_px: lead.tipMm === null ? null : tidyPoint(project(lead.tipMm, frameZ)),
      foot_px: tidyPoint(project(lead.footMm, frameZ)),
    })),
    wires: built.wires.map((wire) => ({
      pin: wire.pin,
      to: wire.to,
      start_px: tidyPoint(project(wire.startMm, built.wireZMm)),
      end_px: tidyPoint(project(wire.endMm, built.wireZMm)),
      length_mm: tidy(wire.lengthMm),
      status: wire.status,
    })),
    attach_voids: built.attachVoidsMm.map((v) => ({
      center_px: tidyPoint(project(v.centreMm, built.dieZMm)),
      radius_px: tidy(v.radiusMm * pxPerMm),
    })),
  };
}

/** Parts of each construction that the edge does not cut. */
function groupsOf(plan: LotPlan): Record<string, string[]> {
  const groups: Record<string, string[]> = {};
  for (const { construction } of plan.spec.constructions) groups[construction.id] = [];
  for (const part of plan.parts) if (!part.cutByEdge) groups[part.constructionId].push(part.id);
  return groups;
}

/** Suspect: a fault that is not a matter of placement, or a construction held by a small minority of 8 or more. */
function isSuspect(plan: LotPlan, part: PlannedPart): boolean {
  if (part.cutByEdge) return false;
  if (part.built.faults.some(({ fault }) => !PLACEMENT_FAULTS.has(fault.kind))) return true;
  const whole = plan.parts.filter((p) => !p.cutByEdge);
  const own = whole.filter((p) => p.constructionId === part.constructionId).length;
  return whole.length >= 8 && own <= plan.spec.minorityShare * whole.length && own < whole.length;
}

/** Share of signal that each structure takes from the mould around it. */
function contrasts(plan: LotPlan, construction: Construction) {
  const { kv, filterMm } = plan.spec.exposures[0];
  const spectrum = beamSpectrum({ kv, filterMm });
  const body = construction.bodyThicknessMm;
  const plain = transmission(spectrum, { mould: body });
  const instead = (material: MaterialName, mm: number): number => {
    return tidy(1 - transmission(spectrum, { mould: Math.max(0, body - mm), [material]: mm }) / plain);
  };
  return {
    wire:
      construction.wire === null ? null : instead(construction.wire.material, construction.wire.diameterMm),
    die: construction.dieMm === null ? null : instead("silicon", construction.dieMm[2]),
    die_attach: construction.dieMm === null ? null : instead("silverEpoxy", ATTACH_THICKNESS_MM),
    lead: instead(construction.frameMaterial, construction.frameThicknessMm),
  };
}

/** What is true of a simulated lot: plain data, ready to be written as JSON. */
export function lotTruth(plan: LotPlan) {
  const { spec } = plan;
  const groups = groupsOf(plan);
  return {
    case: spec.name,
    description: spec.description,
    note: "Invented parts; simulated pictures.",
    seed: plan.seed,
    units:
      "px: pixel centres at integers, origin top-left, x right, y down; mm in the object plane (0,0 = outer corner of the first pixel)",
    constructions: Object.fromEntries(
      spec.constructions.map(({ construction: c }) => [
        c.id,
        {
          package: c.family,
          leadframe_variant: c.variant,
          leadframe_material: c.frameMaterial,
          leadframe_thickness_mm: c.frameThicknessMm,
          body_mm: c.bodyMm,
          body_thickness_mm: c.bodyThicknessMm,
          paddle_mm: c.padMm,
          die_mm: c.dieMm,
          ...(c.stackedMm === undefined ? {} : { stacked_die_mm: c.stackedMm }),
          wire_material: c.wire?.material ?? null,
          wire_diameter_mm: c.wire?.diameterMm ?? null,
        },
      ]),
    ),
    relative_contrast_over_mould: contrasts(plan, spec.constructions[0].construction),
    expected: {
      suspect_parts: plan.parts.filter((p) => isSuspect(plan, p)).map((p) => p.id),
      groups,
      number_of_constructions: Object.values(groups).filter((g) => g.length > 0).length,
      odd_placement_parts: plan.parts
        .filter((p) => p.built.faults.some(({ fault }) => PLACEMENT_FAULTS.has(fault.kind)))
        .map((p) => p.id),
      cut_parts: plan.parts.filter((p) => p.cutByEdge).map((p) => p.id),
    },
    images: plan.pictures.map(({ file, exposure }, index) => {
      const { kv, filterMm, detector } = spec.exposures[exposure];
      return {
        file,
        width: plan.layout.widthPx,
        height: plan.layout.heightPx,
        pixel_mm: spec.mmPerPx,
        kv,
        filter_mm: filterMm,
        detector,
        exposure_group: spec.exposures.length > 1 ? exposure : null,
        brightness: detector.inverted ? "more transmission = darker" : "more transmission = brighter",
        parts: plan.parts.filter((p) => p.picture === index).map((p) => partTruth(plan, p)),
      };
    }),
  };
}

/** The truth of a lot. */
export type LotTruth = ReturnType<typeof lotTruth>;
