import { LotSpecError } from "./errors.ts";
import type { LotSpec } from "./lot-spec.ts";

/** What a planned inspection does otherwise than a preset. */
export interface LotChanges {
  readonly parts?: number;
  readonly kv?: number;
  readonly umPerPx?: number;
  /** Mean over standard deviation of one pixel in the open beam. */
  readonly openBeamSnr?: number;
}

/**
 * A preset changed as planned.
 *
 * Numbers of parts: the other constructions keep their share (at least one part each), the first takes the rest,
 * faults keep their number. Another scale keeps the field of view of one-part pictures.
 *
 * @throws LotSpecError when a change cannot be met
 */
export function changeLot(spec: LotSpec, { parts, kv, umPerPx, openBeamSnr }: LotChanges): LotSpec {
  let changed = spec;
  if (parts !== undefined) changed = withParts(changed, parts);
  if (kv !== undefined) {
    if (!(kv > 10 && kv <= 160)) throw new LotSpecError("kV", "above 10 and at most 160", String(kv));
    if (spec.exposures.some((e) => e.kv !== spec.exposures[0].kv))
      throw new LotSpecError(
        "the preset",
        "at one tube voltage where kV is given",
        `${spec.name}, at several`,
      );
    changed = { ...changed, exposures: changed.exposures.map((e) => ({ ...e, kv })) };
  }
  if (openBeamSnr !== undefined) {
    if (!(openBeamSnr > 0 && openBeamSnr <= 1e5))
      throw new LotSpecError("SNR", "above 0 and at most 100000", String(openBeamSnr));
    changed = {
      ...changed,
      exposures: changed.exposures.map((e) => ({ ...e, detector: { ...e.detector, openBeamSnr } })),
    };
  }
  return umPerPx === undefined ? changed : withScale(changed, umPerPx);
}

function withParts(spec: LotSpec, parts: number): LotSpec {
  const [first, ...others] = spec.constructions;
  const before = spec.constructions.reduce((sum, c) => sum + c.count, 0);
  const kept = others.map((c) => ({ ...c, count: Math.max(1, Math.round((c.count * parts) / before)) }));
  const rest = parts - kept.reduce((sum, c) => sum + c.count, 0);
  const least = Math.max(
    1,
    spec.faults.reduce((sum, f) => sum + f.count, 0),
  );
  if (!Number.isSafeInteger(parts) || rest < least || parts > 10_000)
    throw new LotSpecError(
      "parts",
      `a whole number of ${least + kept.length} to 10000 for ${spec.name}`,
      String(parts),
    );
  return { ...spec, constructions: [{ ...first, count: rest }, ...kept] };
}

function withScale(spec: LotSpec, umPerPx: number): LotSpec {
  const mmPerPx = umPerPx / 1000;
  if (!(umPerPx >= 1 && umPerPx <= 200)) throw new LotSpecError("um per px", "1 to 200", String(umPerPx));
  if (spec.layout.kind !== "single") return { ...spec, mmPerPx };
  const px = (before: number) => Math.round((before * spec.mmPerPx) / mmPerPx);
  return {
    ...spec,
    mmPerPx,
    layout: { kind: "single", widthPx: px(spec.layout.widthPx), heightPx: px(spec.layout.heightPx) },
  };
}
