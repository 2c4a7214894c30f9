import { median } from "../../numeric/order.ts";
import { followsLot, lotPolarity } from "../../radiograph/lot-polarity.ts";
import type { Polarity, Radiograph } from "../../radiograph/radiograph.ts";
import type { FoundPart, PartCandidates } from "./find-parts.ts";
import { findParts, lotUnit, partCandidates, wholeFieldPart } from "./find-parts.ts";
import type { LotItem, PictureFacts } from "./lot-item.ts";
import type { Patch } from "./patch.ts";
import { cutPatch } from "./patch.ts";

/**
 * A picture of the lot; `load` is called when its turn comes, and once more if the lot changes its mind about it,
 * also about its polarity.
 */
export interface LotSource {
  readonly picture: string;
  readonly load: (lotPolarity?: Polarity["value"]) => Promise<Radiograph>;
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
  /** Set where the picture was read as its lot says, against its own word. */
  readonly lotPolarity?: Polarity["value"];
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
  const first: Visited[] = [];
  for (const source of sources) {
    try {
      first.push(look(source, await source.load()));
    } catch (error) {
      unreadable.push({
        picture: source.picture,
        reason: error instanceof Error ? error.message : String(error),
      });
    }
    onPicture(first.length + unreadable.length, sources.length);
  }
  const visited = await inOnePolarity(first);
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
    const radiograph = await v.source.load(v.lotPolarity);
    const candidates = partCandidates(radiograph);
    settled.push(visit(v.source, radiograph, candidates, findParts(candidates, unit).parts));
  }
  return asGathered(settled, unreadable);
}

function look(source: LotSource, radiograph: Radiograph): Visited {
  const candidates = partCandidates(radiograph);
  return visit(source, radiograph, candidates, findParts(candidates, null).parts);
}

/** Reads the pictures again that are unsure of their polarity and say otherwise than the lot does. */
async function inOnePolarity(visited: readonly Visited[]): Promise<Visited[]> {
  const lot = lotPolarity(visited.map((v) => v.facts.polarity));
  const out: Visited[] = [];
  for (const v of visited) {
    out.push(
      followsLot(v.facts.polarity, lot)
        ? { ...look(v.source, await v.source.load(lot)), lotPolarity: lot }
        : v,
    );
  }
  return out;
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
 * the same part cut out of larger pictures, lying or upright.
 */
async function wholeFields(visited: readonly Visited[]): Promise<Visited[]> {
  if (visited.length < 2) return visited.map((v) => ({ ...v, patches: [] }));
  const longSide = ({ widthPx, heightPx }: PictureFacts) => Math.max(widthPx, heightPx);
  const shortSide = ({ widthPx, heightPx }: PictureFacts) => Math.min(widthPx, heightPx);
  const long = median(visited.map((v) => longSide(v.facts)));
  const short = median(visited.map((v) => shortSide(v.facts)));
  const fits = (facts: PictureFacts) =>
    Math.abs(longSide(facts) / long - 1) < 0.1 && Math.abs(shortSide(facts) / short - 1) < 0.1;
  const out: Visited[] = [];
  for (const v of visited) {
    if (!fits(v.facts)) {
      out.push({ ...v, patches: [] });
      continue;
    }
    const radiograph = await v.source.load(v.lotPolarity);
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
