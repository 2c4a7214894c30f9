import type { LotExemplars } from "../exemplars/gather-exemplars.ts";
import type { LotSource } from "../finding/gather-parts.ts";
import type { InspectedLot, LotProgress } from "../lot.ts";
import { inspectLot } from "../lot.ts";
import type { LotItem } from "../lot-item.ts";
import type { LotOptions } from "../options.ts";
import type { LotWork } from "../part-tasks.ts";
import { workHere } from "../part-tasks.ts";
import type { ExemplarFindings } from "../result.ts";
import { cornerOrder, sameOrder, throughOrder } from "./corner-order.ts";
import type { EarlierParts } from "./earlier-parts.ts";
import type { Construction, InspectedPortion } from "./inspected-portion.ts";
import type { Joined } from "./join-groups.ts";
import { joinGroups } from "./join-groups.ts";
import { keptPictures } from "./merge-aligned.ts";
import { judgeConstructions, mergePortions } from "./merge-portions.ts";
import type { LotPortion } from "./portion-words.ts";
import { portionsInWords } from "./portion-words.ts";
import { readPortions } from "./read-portions.ts";
import { mostTypical, typicalParts } from "./typical-parts.ts";

/** Parts that are inspected together: with the largest usual packages (TSOP-54 at 29 um) they stay below 1 GiB. */
export const mostTogether = 80;

/** Constructions for which typical parts are kept, the largest first. */
const mostConstructions = 12;

/** An inspected lot and the portions in which it was inspected; none for one that was inspected in one go. */
export interface InspectedInPortions extends Omit<InspectedLot, "items" | "before"> {
  readonly portions: readonly LotPortion[];
}

/**
 * Inspects a lot of any size: one that holds more parts than can be compared together is inspected in portions, its
 * pictures in their order. Typical parts of every construction found are compared with the groups of every later
 * portion, which holds the portions together; memory holds one portion at a time.
 *
 * @param together parts inspected together
 * @param between called when a portion has been let go
 * @see docs/methods/portions.md
 */
export async function inspectInPortions(
  sources: readonly LotSource[],
  options: LotOptions,
  progress: LotProgress = () => {},
  work: LotWork = workHere,
  known: LotExemplars = { sources: [] },
  together = mostTogether,
  between: () => void = () => {},
): Promise<InspectedInPortions> {
  const given = known.sources.length > 0;
  const kept = new Map<string, LotItem>();
  const portions: InspectedPortion[] = [];
  const sourcesOf: (readonly LotSource[])[] = [];
  let constructions: Construction[] = [];

  const quiet: LotProgress = (stage, done, of) => {
    if (stage !== "reading") progress(stage, done, of);
  };
  const carried = () =>
    [...constructions]
      .sort((p, q) => q.size - p.size)
      .slice(0, mostConstructions)
      .flatMap(({ typical }) => typical.flatMap((id) => kept.get(id) ?? []));
  const inspect = async (from: readonly LotSource[]) => {
    const told: { current: { joined: readonly Joined[]; odd: ReadonlySet<number> } | null } = {
      current: null,
    };
    const earlier: EarlierParts = {
      items: carried(),
      odd: (groupOf, before, exemplars) => {
        const sizes = sizesOf(groupOf);
        const joined = joinGroups(sizes.length, constructions, before);
        const next = withGroups(constructions, joined, sizes);
        const here = { findings: { exemplars }, constructionOf: next.constructionOf };
        const judged = judgeConstructions(next.constructions, [...portions, here], given);
        const odd = new Set(next.constructionOf.flatMap((c, g) => (judged.odd.has(c) ? [g] : [])));
        told.current = { joined, odd };
        return odd;
      },
    };
    const inspected = await inspectLot(from, options, quiet, work, known, earlier);
    return { inspected, ...(told.current ?? { joined: [], odd: new Set<number>() }) };
  };

  for await (const { looked, again } of readPortions(sources, together, work.picturesAtOnce, (done, of) =>
    progress("reading", done, of),
  )) {
    const { inspected, joined, odd } = await inspect(looked);
    if (looked.length === sources.length) return { ...inspected, portions: [] };
    const sizes = inspected.findings.groups.map(({ size }) => size);
    const next = withGroups(constructions, joined, sizes);
    constructions = withTypical(next, inspected, odd, kept);
    portions.push(keptPortion(inspected, next.constructionOf, odd, portions));
    sourcesOf.push(again);
    between();
  }

  let judged = judgeConstructions(constructions, portions, given);
  // Groups that were odd among the portions before may be none in the whole lot, and the other way about.
  for (const [at, portion] of portions.entries()) {
    const odd = new Set(portion.constructionOf.flatMap((c, g) => (judged.odd.has(c) ? [g] : [])));
    const changed = portion.constructionOf.some((_, g) =>
      odd.has(g) ? g > 0 && !portion.odd.has(g) : portion.odd.has(g),
    );
    if (!changed) continue;
    const earlier = { items: [], odd: () => odd };
    const { findings } = await inspectLot(
      sourcesOf[at] as readonly LotSource[],
      options,
      quiet,
      work,
      known,
      earlier,
    );
    const keep = keptIds(findings.parts, typicalOf(constructions));
    portions[at] = {
      ...portion,
      findings: { ...findings, aligned: keptPictures(findings.aligned, keep) },
      odd,
    };
  }
  judged = judgeConstructions(constructions, portions, given);
  const exemplarPictures = portions[0]?.exemplarPictures ?? [];
  const exemplarNames = new Set(known.sources.map(({ picture }) => picture));
  const once = <T extends { readonly picture: string }>(
    of: (portion: InspectedPortion) => readonly T[],
  ): T[] =>
    portions.flatMap((portion, at) =>
      of(portion).filter(({ picture }) => at === 0 || !exemplarNames.has(picture)),
    );
  return {
    findings: mergePortions(portions, constructions, judged),
    pictures: portions.flatMap(({ pictures }) => pictures),
    exemplarPictures,
    unreadable: once(({ unreadable }) => unreadable),
    empty: once(({ empty }) => empty),
    portions: portionsInWords(portions, constructions, judged.order),
  };
}

function sizesOf(groupOf: readonly number[]): number[] {
  const sizes = Array.from({ length: Math.max(-1, ...groupOf) + 1 }, () => 0);
  for (const g of groupOf) sizes[g] = (sizes[g] as number) + 1;
  return sizes;
}

/** The constructions with a portion's groups, and which construction each group is. */
function withGroups(
  before: readonly Construction[],
  joined: readonly Joined[],
  sizes: readonly number[],
): { constructions: Construction[]; constructionOf: number[] } {
  const constructions = [...before];
  const constructionOf = joined.map(({ construction, open }, g) => {
    const size = sizes[g] as number;
    if (construction === null) return constructions.push({ typical: [], size, open }) - 1;
    const known = constructions[construction] as Construction;
    constructions[construction] = { ...known, size: known.size + size };
    return construction;
  });
  return { constructions, constructionOf };
}

/** Gives each construction typical parts as long as it has fewer than it may have, and keeps those parts. */
function withTypical(
  { constructions, constructionOf }: ReturnType<typeof withGroups>,
  { findings, items }: InspectedLot,
  odd: ReadonlySet<number>,
  kept: Map<string, LotItem>,
): Construction[] {
  const out = [...constructions];
  constructionOf.forEach((c, g) => {
    const known = out[c] as Construction;
    const wanted = mostTypical - known.typical.length;
    if (wanted <= 0) return;
    const name = findings.groups[g]?.name ?? "";
    const ids = typicalParts(findings, name, odd.has(g), wanted);
    for (const id of ids) {
      const item = items.find((one) => one.id === id);
      if (item) kept.set(id, item);
    }
    out[c] = { ...known, typical: [...known.typical, ...ids] };
  });
  return out;
}

function keptPortion(
  { findings, items: _items, ...rest }: InspectedLot,
  constructionOf: readonly number[],
  odd: ReadonlySet<number>,
  portions: readonly InspectedPortion[],
): InspectedPortion {
  const typical = findings.groups.flatMap(({ name }, g) => typicalParts(findings, name, odd.has(g)));
  const aligned = keptPictures(findings.aligned, keptIds(findings.parts, typical));
  return {
    ...rest,
    findings: { ...findings, aligned },
    constructionOf,
    odd,
    corners: cornersOf(rest.before, portions),
  };
}

function keptIds(parts: InspectedLot["findings"]["parts"], typical: readonly string[]): Set<string> {
  return new Set([...parts.filter((p) => p.suspect || p.calls.length > 0).map(({ id }) => id), ...typical]);
}

function typicalOf(constructions: readonly Construction[]): string[] {
  return constructions.flatMap(({ typical }) => typical);
}

/** How the first portion's frame lies to this one's: by a part that was seen in both. */
function cornersOf(before: readonly ExemplarFindings[], portions: readonly InspectedPortion[]) {
  for (const one of before) {
    for (const { findings, corners } of portions) {
      const part = findings.parts.find(({ id }) => id === one.id);
      if (part) return throughOrder(corners, cornerOrder(part.cornersPx, one.cornersPx));
    }
  }
  return sameOrder;
}
