/** What is known of a part when a split is held against the codes. */
export interface CodedPart {
  /** Null when the part was not compared. */
  readonly group: string | null;
  /** Date or lot code; null when none was given. */
  readonly code: string | null;
}

/** How a split into groups lies to the date or lot codes. */
export type CodeSplit =
  /** Every code lies in one group, and the groups have different codes. */
  | { readonly kind: "codes"; readonly byGroup: readonly GroupCodes[]; readonly uncoded: number }
  /** Codes that hold parts of two or more groups. */
  | { readonly kind: "inside-code"; readonly mixed: readonly MixedCode[]; readonly uncoded: number }
  /** No code at all (`none`), or none for a whole group. */
  | { readonly kind: "codes-unknown"; readonly none: boolean; readonly uncoded: number };

export interface GroupCodes {
  readonly group: string;
  readonly codes: readonly string[];
}

export interface MixedCode {
  readonly code: string;
  readonly groups: readonly { readonly group: string; readonly parts: number }[];
}

/**
 * What a split follows, as far as the codes tell. Parts without a code or without a group do not count; they are told
 * by number (`uncoded`: compared parts without a code).
 *
 * @returns null where there are fewer than two groups
 */
export function codeSplit(parts: readonly CodedPart[]): CodeSplit | null {
  const groups = new Map<string, Set<string>>();
  const codes = new Map<string, Map<string, number>>();
  let uncoded = 0;
  for (const { group, code } of parts) {
    if (group === null) continue;
    const own = groups.get(group) ?? new Set<string>();
    groups.set(group, own);
    if (code === null) {
      uncoded++;
      continue;
    }
    own.add(code);
    const holds = codes.get(code) ?? new Map<string, number>();
    codes.set(code, holds.set(group, (holds.get(group) ?? 0) + 1));
  }
  if (groups.size < 2) return null;
  const mixed = [...codes]
    .filter(([, holds]) => holds.size > 1)
    .map(([code, holds]) => ({
      code,
      groups: byName([...holds]).map(([group, parts]) => ({ group, parts })),
    }));
  if (mixed.length > 0) return { kind: "inside-code", mixed, uncoded };
  const byGroup = byName([...groups]).map(([group, own]) => ({ group, codes: [...own] }));
  if (byGroup.some((own) => own.codes.length === 0)) {
    return { kind: "codes-unknown", none: codes.size === 0, uncoded };
  }
  return { kind: "codes", byGroup, uncoded };
}

/** In the order of group names, "A" before "AA" before "B". */
function byName<T>(groups: [group: string, T][]): [group: string, T][] {
  return groups.sort(([a], [b]) => (a < b ? -1 : Number(a > b)));
}
