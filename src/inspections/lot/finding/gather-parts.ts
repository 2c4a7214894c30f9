import { median } from "../../../numeric/order.ts";
import { followsLot, lotPolarity } from "../../../radiograph/lot-polarity.ts";
import type { Polarity, Radiograph } from "../../../radiograph/radiograph.ts";
import type { LotItem, PictureFacts } from "../lot-item.ts";
import { lotUnit } from "./find-parts.ts";
import type { LookRequest, PictureLook } from "./look-at-picture.ts";
import { lookAtPicture } from "./look-at-picture.ts";

/**
 * A picture of the lot: one that is loaded here, or one that is looked at elsewhere. Asked for when its turn comes,
 * and once more if the lot changes its mind about it, also about its polarity.
 */
export type LotSource = LoadedSource | LookedAtSource;

export interface LoadedSource {
  readonly picture: string;
  readonly load: (lotPolarity?: Polarity["value"]) => Promise<Radiograph>;
}

export interface LookedAtSource {
  readonly picture: string;
  readonly look: (request: LookRequest) => Promise<PictureLook>;
}

export interface GatheredLot {
  readonly items: readonly LotItem[];
  readonly pictures: readonly PictureFacts[];
  readonly unreadable: readonly { readonly picture: string; readonly reason: string }[];
  /** Pictures in which no part was found, with why. */
  readonly empty: readonly { readonly picture: string; readonly because: string }[];
}

interface Visited extends PictureLook {
  readonly source: LotSource;
  /** Set where the picture was read as its lot says, against its own word. */
  readonly lotPolarity?: Polarity["value"];
}

/**
 * Reads every picture once, finds its parts and lets the picture go: memory holds the parts, not the pictures.
 * A picture whose parts are of another size than the lot's is looked at again with what the lot agrees on.
 * One that can't be read is set aside with its reason.
 *
 * @param atOnce pictures looked at together; what is gathered is the same for any number
 */
export async function gatherParts(
  sources: readonly LotSource[],
  onPicture: (done: number, of: number) => void,
  atOnce = 1,
): Promise<GatheredLot> {
  let done = 0;
  const first = await inTurns(sources, atOnce, async (source) => {
    const seen = await lookOrReason(source);
    onPicture(++done, sources.length);
    return seen;
  });
  const unreadable = first.filter((seen) => "reason" in seen);
  const readable = first.flatMap((seen) => ("reason" in seen ? [] : [seen]));
  const visited = await inOnePolarity(readable, atOnce);
  const unit = lotUnit(visited.map((v) => v.candidates));
  const withParts = visited.filter((v) => v.patches.length > 0);
  if (!unit || withParts.length < 0.5 * visited.length)
    return asGathered(await wholeFields(visited, atOnce), unreadable);
  const settled = await inTurns(visited, atOnce, async (v) => {
    const agrees = v.unitAreaPx !== null && Math.abs(Math.log(v.unitAreaPx / unit.areaPx)) < 0.15;
    return agrees ? v : lookAgain(v, { parts: unit });
  });
  return asGathered(settled, unreadable);
}

async function lookOrReason(
  source: LotSource,
): Promise<Visited | { readonly picture: string; readonly reason: string }> {
  try {
    return { source, ...(await look(source, { parts: "own" })) };
  } catch (error) {
    return { picture: source.picture, reason: error instanceof Error ? error.message : String(error) };
  }
}

async function look(source: LotSource, request: LookRequest): Promise<PictureLook> {
  return "look" in source
    ? source.look(request)
    : lookAtPicture(await source.load(request.lotPolarity), request);
}

async function lookAgain({ source, lotPolarity }: Visited, request: LookRequest): Promise<Visited> {
  const polarity = request.lotPolarity ?? lotPolarity;
  const as = polarity === undefined ? {} : { lotPolarity: polarity };
  return { source, ...as, ...(await look(source, { ...request, ...as })) };
}

/** Reads the pictures again that are unsure of their polarity and say otherwise than the lot does. */
async function inOnePolarity(visited: readonly Visited[], atOnce: number): Promise<Visited[]> {
  const lot = lotPolarity(visited.map((v) => v.facts.polarity));
  return inTurns(visited, atOnce, async (v) =>
    followsLot(v.facts.polarity, lot) ? lookAgain(v, { lotPolarity: lot, parts: "own" }) : v,
  );
}

/**
 * Pictures in which nothing stands in open field are compared whole, when most of them have about one size:
 * the same part cut out of larger pictures, lying or upright.
 */
async function wholeFields(visited: readonly Visited[], atOnce: number): Promise<Visited[]> {
  if (visited.length < 2) return visited.map((v) => ({ ...v, patches: [] }));
  const longSide = ({ widthPx, heightPx }: PictureFacts) => Math.max(widthPx, heightPx);
  const shortSide = ({ widthPx, heightPx }: PictureFacts) => Math.min(widthPx, heightPx);
  const long = median(visited.map((v) => longSide(v.facts)));
  const short = median(visited.map((v) => shortSide(v.facts)));
  const fits = (facts: PictureFacts) =>
    Math.abs(longSide(facts) / long - 1) < 0.1 && Math.abs(shortSide(facts) / short - 1) < 0.1;
  return inTurns(visited, atOnce, async (v) =>
    fits(v.facts) ? lookAgain(v, { parts: "whole-field" }) : { ...v, patches: [] },
  );
}

/** Does `each` on all items, at most so many at a time. Results stand in the order of the items. */
async function inTurns<T, R>(
  items: readonly T[],
  atOnce: number,
  each: (item: T) => Promise<R>,
): Promise<R[]> {
  const results = new Array<R>(items.length);
  const waiting = items.entries();
  const takeTurns = async () => {
    for (const [i, item] of waiting) results[i] = await each(item);
  };
  await Promise.all(Array.from({ length: Math.max(1, atOnce) }, takeTurns));
  return results;
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
