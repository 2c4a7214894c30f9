import type { LookedAtSource, LotSource } from "../finding/gather-parts.ts";
import { lookAtPicture } from "../finding/look-at-picture.ts";

/** The pictures of one portion: as they were looked at first, and to be looked at anew. */
export interface ReadPortion {
  /** A first look at each is remembered, so that it is taken once. */
  readonly looked: readonly LookedAtSource[];
  readonly again: readonly LotSource[];
}

/**
 * Takes pictures in their order and hands them out in portions that hold about equally many parts. A picture is never
 * divided: one that shows more parts than a portion should have is a portion of its own.
 *
 * @param mostTogether parts of a portion at most, a picture's more or less, and a quarter more in the last; half as many
 *   where their pictures are large
 * @param atOnce pictures looked at together
 */
export async function* readPortions(
  sources: readonly LotSource[],
  mostTogether: number,
  atOnce: number,
  onPicture: (done: number, of: number) => void,
): AsyncGenerator<ReadPortion> {
  const begun = new Map<number, { readonly source: LookedAtSource; readonly parts: Promise<number> }>();
  const begin = (at: number) => {
    const source = rememberingFirstLook(sources[at] as LotSource);
    begun.set(at, { source, parts: partsSeen(source) });
  };
  let from = 0;
  let partsBefore = 0;
  while (from < sources.length) {
    const looked: LookedAtSource[] = [];
    let parts = 0;
    let at = from;
    for (; at < sources.length; at++) {
      const perPicture = at > 0 ? (partsBefore + parts) / at : 1;
      if (parts > 0 && parts >= portionSize(parts, (sources.length - at) * perPicture, mostTogether)) break;
      // Looked at elsewhere, pictures wait there for their turn; here each takes its memory at once.
      const end = Math.min(sources.length, at + ("look" in (sources[at] as LotSource) ? 2 * atOnce : 1));
      for (let next = at; next < end; next++) if (!begun.has(next)) begin(next);
      const { source, parts: seen } = begun.get(at) as { source: LookedAtSource; parts: Promise<number> };
      begun.delete(at);
      looked.push(source);
      parts += await seen;
      onPicture(at + 1, sources.length);
    }
    yield { looked, again: sources.slice(from, at) };
    partsBefore += parts;
    from = at;
  }
}

/**
 * How many parts the portion that is being read should have.
 *
 * @param parts read into it so far
 * @param left about how many the pictures not yet read hold
 */
export function portionSize(parts: number, left: number, mostTogether: number): number {
  const all = parts + left;
  // What little would be left over is too few to be compared within itself.
  if (left < mostTogether / 4) return left > 0 ? Number.POSITIVE_INFINITY : 0;
  return all / Math.ceil(all / mostTogether - 0.25);
}

/** Patches of more pixels than this count as more than one part, up to two: they take more memory. */
const usualPatchPx = 200_000;

function partWeight(patchPx: number): number {
  return Math.min(2, Math.max(1, patchPx / usualPatchPx));
}

/** Parts that a picture shows, large ones up to twice; one that shows none in open field counts as a part by itself. */
async function partsSeen(source: LookedAtSource): Promise<number> {
  try {
    const { patches } = await source.look({ parts: "own" });
    return Math.max(
      1,
      patches.reduce((sum, { image }) => sum + partWeight(image.data.length), 0),
    );
  } catch {
    // Said again, with its reason, when the portion is gathered.
    return 1;
  }
}

function rememberingFirstLook(source: LotSource): LookedAtSource {
  const look: LookedAtSource["look"] =
    "look" in source
      ? source.look
      : async (request) => lookAtPicture(await source.load(request.lotPolarity), request);
  let first: ReturnType<typeof look> | null = null;
  return {
    picture: source.picture,
    look: (request) => {
      if (request.parts !== "own" || request.lotPolarity !== undefined) {
        first = null;
        return look(request);
      }
      first ??= look(request);
      return first;
    },
  };
}
