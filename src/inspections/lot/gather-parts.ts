import { median } from "../../numeric/order.ts";
import type { Radiograph } from "../../radiograph/radiograph.ts";
import type { FoundPart, PartCandidates } from "./find-parts.ts";
import { findParts, lotUnit, partCandidates, wholeFieldPart } from "./find-parts.ts";
import type { LotItem, PictureFacts } from "./lot-item.ts";
import type { Patch } from "./patch.ts";
import { cutPatch } from "./patch.ts";

/** A picture of the lot; `load` is called when its turn comes, and once more if the lot changes its mind about it. */
export interface LotSource {
  readonly picture: string;
  readonly load: () => Promise<Radiograph>;
}

export interface GatheredLot {
  readonly items: readonly LotItem[];
  readonly pictures: readonly PictureFacts[];
  readonly unreadable: readonly { readonly picture: string; readonly reason: string }[];
  /** Pictures in which no part was found, with why. */
  readonly empty: readonly { readonly picture: string; readonly because: string }[];
}

interface Visited {
  readonly source: LotSource;
  readonly facts: PictureFacts;
  readonly candidates: Pick<PartCandidates, "plateaus" | "reducedBy">;
  readonly patches: readonly Patch[];
  readonly unitAreaPx: number | null;
}

/**
 * Reads every picture once, finds its parts and lets the picture go: memory holds the parts, not the pictures.
 * A picture whose parts are of another size than the lot's is looked at again with what the lot agrees on.
 * One that can't be read is set aside with its reason.
 */
export async function gatherParts(
  sources: readonly LotSource[],
  onPicture: (done: number, of: number) => void,
): Promise<GatheredLot> {
  const unreadable: { picture: string; reason: string }[] = [];
  const visited: Visited[] = [];
  for (const source of sources) {
    try {
      const radiograph = await source.load();
      const candidates = partCandidates(radiograph);
      visited.push(visit(source, radiograph, candidates, findParts(candidates, null).parts));
    } catch (error) {
      unreadable.push({
        picture: source.picture,
        reason: error instanceof Error ? error.message : String(error),
      });
    }
    onPicture(visited.length + unreadable.length, sources.length);
  }
  const unit = lotUnit(visited.map((v) => v.candidates));
  const withParts = visited.filter((v) => v.patches.length > 0);
  if (!unit || withParts.length < 0.5 * visited.length)
    return asGathered(await wholeFields(visited), unreadable);
  const settled: Visited[] = [];
  for (const v of visited) {
    const agrees = v.unitAreaPx !== null && Math.abs(Math.log(v.unitAreaPx / unit.areaPx)) < 0.15;
    if (agrees) {
      settled.push(v);
      continue;
    }
    const radiograph = await v.source.load();
    const candidates = partCandidates(radiograph);
    settled.push(visit(v.source, radiograph, candidates, findParts(candidates, unit).parts));
  }
  return asGathered(settled, unreadable);
}

function visit(
  source: LotSource,
  radiograph: Radiograph,
  candidates: PartCandidates,
  parts: readonly FoundPart[],
): Visited {
  const { picture, sha256, widthPx, heightPx, polarity, scale, background, bits, lossy, notes, noise } =
    radiograph;
  return {
    source,
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
    candidates: { plateaus: candidates.plateaus, reducedBy: candidates.reducedBy },
    patches: parts.map((part) => cutPatch(radiograph, part)),
    unitAreaPx: parts.some((p) => !p.cutByEdge) ? (lotUnit([candidates])?.areaPx ?? null) : null,
  };
}

/**
 * Pictures in which nothing stands in open field are compared whole, when most of them have about one size:
 * the same part cut out of larger pictures.
 */
async function wholeFields(visited: readonly Visited[]): Promise<Visited[]> {
  if (visited.length < 2) return visited.map((v) => ({ ...v, patches: [] }));
  const width = median(visited.map((v) => v.facts.widthPx));
  const height = median(visited.map((v) => v.facts.heightPx));
  const longest = Math.max(width, height);
  const fits = ({ widthPx, heightPx }: PictureFacts) =>
    Math.abs(Math.max(widthPx, heightPx) / longest - 1) < 0.1 &&
    Math.abs(Math.min(widthPx, heightPx) / Math.min(width, height) - 1) < 0.1;
  const out: Visited[] = [];
  for (const v of visited) {
    if (!fits(v.facts)) {
      out.push({ ...v, patches: [] });
      continue;
    }
    const radiograph = await v.source.load();
    out.push({
      ...v,
      patches: [cutPatch(radiograph, wholeFieldPart(radiograph.widthPx, radiograph.heightPx))],
    });
  }
  return out;
}

function asGathered(visited: readonly Visited[], unreadable: GatheredLot["unreadable"]): GatheredLot {
  return {
    items: visited.flatMap((v) =>
      v.patches.map((patch, i) => ({
        id: v.patches.length > 1 ? `${v.facts.picture}#${i + 1}` : v.facts.picture,
        picture: v.facts,
        patch,
      })),
    ),
    pictures: visited.map((v) => v.facts),
    unreadable,
    empty: visited
      .filter((v) => !v.patches.length)
      .map((v) => ({ picture: v.facts.picture, because: "no part like the lot's was found in it" })),
  };
}
