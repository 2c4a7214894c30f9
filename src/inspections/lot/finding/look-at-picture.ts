import type { Polarity, Radiograph } from "../../../radiograph/radiograph.ts";
import type { PictureFacts } from "../lot-item.ts";
import type { FoundPart, LotUnit, PartCandidates } from "./find-parts.ts";
import { findParts, lotUnit, partCandidates, wholeFieldPart } from "./find-parts.ts";
import type { Patch } from "./patch.ts";
import { cutPatch } from "./patch.ts";

/** What is wanted of a picture. */
export interface LookRequest {
  /** The polarity its lot agrees on, taken against the picture's own word. */
  readonly lotPolarity?: Polarity["value"];
  /** Parts as the picture shows them, parts as its lot has them, or the whole picture as one part. */
  readonly parts: "own" | LotUnit | "whole-field";
}

/** What is kept of a picture: its facts and the parts cut out of it. Plain data, much smaller than the picture. */
export interface PictureLook {
  readonly facts: PictureFacts;
  readonly candidates: Pick<PartCandidates, "plateaus" | "reducedBy">;
  readonly patches: readonly Patch[];
  /** Size of one of its parts; null when it shows none whole. */
  readonly unitAreaPx: number | null;
}

/** Finds the parts of one picture and cuts them out. */
export function lookAtPicture(radiograph: Radiograph, { parts: wanted }: LookRequest): PictureLook {
  if (wanted === "whole-field") {
    const whole = wholeFieldPart(radiograph.widthPx, radiograph.heightPx);
    return lookOf(radiograph, { plateaus: [], reducedBy: 1 }, [whole]);
  }
  const candidates = partCandidates(radiograph);
  return lookOf(radiograph, candidates, findParts(candidates, wanted === "own" ? null : wanted).parts);
}

function lookOf(
  radiograph: Radiograph,
  { plateaus, reducedBy }: PictureLook["candidates"],
  parts: readonly FoundPart[],
): PictureLook {
  const { picture, sha256, widthPx, heightPx, polarity, scale, background, bits, lossy, notes, noise } =
    radiograph;
  const candidates = { plateaus, reducedBy };
  return {
    facts: {
      picture,
      sha256,
      widthPx,
      heightPx,
      polarity,
      scale,
      background,
      bits,
      lossy,
      notes,
      openNoise: Math.sqrt(Math.max(0, noise.a + noise.b)),
    },
    candidates,
    patches: parts.map((part) => cutPatch(radiograph, part)),
    unitAreaPx: parts.some((p) => !p.cutByEdge) ? (lotUnit([candidates])?.areaPx ?? null) : null,
  };
}
