import type { SaidPlace, TruePicture, TruePlace } from "./match-parts.ts";
import { matchParts } from "./match-parts.ts";

/** What is read of a lot's truth to say how right an inspection was. */
export interface KnownLot {
  readonly expected: { readonly suspect_parts: readonly string[]; readonly number_of_constructions: number };
  readonly images: readonly TruePicture<KnownPart>[];
}

/** What is read of a part's truth. */
export interface KnownPart extends TruePlace {
  readonly id: string;
  readonly construction: string;
  readonly faults?: readonly { readonly kind: string }[];
}

/** What an inspection said of a part. */
export interface SaidPart extends SaidPlace {
  readonly id: string;
  readonly assessable: boolean;
  readonly suspect: boolean;
  readonly group: string | null;
  readonly calls: readonly { readonly kind: string }[];
}

/** A part with what was said of it. */
export interface OutcomePart {
  readonly id: string;
  /** Kinds of its calls. */
  readonly said: readonly string[];
}

/** A part that is unlike its lot. */
export interface OddPart extends OutcomePart {
  /** Its faults, or "other construction". */
  readonly is: string;
  /** It was named a suspect. */
  readonly found: boolean;
  /** Why it was not: the part itself was not found, not assessed, or was taken for sound. */
  readonly missedAs: "not-found" | "not-assessed" | "taken-for-sound" | null;
}

/** How right an inspection of one lot of known truth was. Parts cut by the edge are left out. */
export interface LotOutcome {
  readonly parts: number;
  readonly notFound: readonly string[];
  readonly notAssessed: readonly string[];
  readonly spurious: readonly string[];
  readonly odd: readonly OddPart[];
  /** Parts with nothing to find, among them those that only lie oddly. */
  readonly sound: number;
  readonly falselySuspect: readonly OutcomePart[];
  /** Sound parts with a call, suspect or not. */
  readonly falselyCalled: readonly OutcomePart[];
  readonly constructions: number;
  readonly groups: number;
  /** Sound parts of one construction stand in more than one group. */
  readonly falselySplit: boolean;
  /** Constructions none of which is odd stand in groups of their own; null with fewer than two of them. */
  readonly toldApart: boolean | null;
}

/** Compares what was said of a lot with its truth. */
export function lotOutcome(truth: KnownLot, parts: readonly SaidPart[]): LotOutcome {
  const { matches, spurious } = matchParts(truth.images, parts);
  const whole = matches.filter((m) => !m.truth.cut_by_edge);
  const oddIds = new Set(truth.expected.suspect_parts);
  const sound = whole.filter((m) => !oddIds.has(m.truth.id));
  const judged = whole.filter((m) => m.found?.assessable);
  const said = (found: SaidPart | null) => [...new Set((found?.calls ?? []).map((c) => c.kind))];
  const named = (m: (typeof whole)[number]): OutcomePart => ({ id: m.truth.id, said: said(m.found) });
  const groupsOf = new Map<string, Set<string>>();
  for (const { truth: part, found } of sound) {
    if (!found?.assessable || found.group === null) continue;
    const own = groupsOf.get(part.construction) ?? new Set<string>();
    groupsOf.set(part.construction, own.add(found.group));
  }
  const soundKinds = new Set(sound.map((m) => m.truth.construction));
  return {
    parts: whole.length,
    notFound: whole.filter((m) => !m.found).map((m) => m.truth.id),
    notAssessed: whole.filter((m) => m.found && !m.found.assessable).map((m) => m.truth.id),
    spurious: spurious.filter((part) => part.assessable).map((part) => part.id),
    odd: whole
      .filter((m) => oddIds.has(m.truth.id))
      .map((m) => ({
        ...named(m),
        is: m.truth.faults?.map((f) => f.kind).join(" and ") || "other construction",
        found: m.found?.suspect === true,
        missedAs: missedAs(m.found),
      })),
    sound: sound.length,
    falselySuspect: sound.filter((m) => m.found?.suspect).map(named),
    falselyCalled: sound.filter((m) => m.found?.calls.length).map(named),
    constructions: truth.expected.number_of_constructions,
    groups: new Set(judged.map((m) => m.found?.group).filter((g) => g != null)).size,
    falselySplit: [...groupsOf.values()].some((groups) => groups.size > 1),
    toldApart: soundKinds.size < 2 ? null : areApart(groupsOf, soundKinds.size),
  };
}

function missedAs(found: SaidPart | null): OddPart["missedAs"] {
  if (found?.suspect) return null;
  if (found === null) return "not-found";
  return found.assessable ? "taken-for-sound" : "not-assessed";
}

function areApart(groupsOf: ReadonlyMap<string, ReadonlySet<string>>, constructions: number): boolean {
  const all = [...groupsOf.values()].flatMap((groups) => [...groups]);
  return groupsOf.size === constructions && new Set(all).size === all.length;
}
