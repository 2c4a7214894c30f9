import type { Match, Truth } from "./truth.ts";

/** Group by group, how many parts of each construction it holds; and whether that is the true partition of those judged. */
export function compareGroups(truth: Truth, matches: readonly Match[]) {
  const table = new Map<string, Map<string, string[]>>();
  const wanted = new Map(
    Object.entries(truth.expected.groups).flatMap(([g, ids]) => ids.map((id) => [id, g])),
  );
  for (const { truth: part, found } of matches) {
    const own = wanted.get(part.id);
    if (own === undefined || !found?.assessable || found.group === null) continue;
    const row = table.get(found.group) ?? new Map<string, string[]>();
    table.set(found.group, row.set(own, [...(row.get(own) ?? []), part.id]));
  }
  const rows = [...table].sort(([a], [b]) => (a < b ? -1 : 1));
  const seen = new Set(rows.flatMap(([, row]) => [...row.keys()]));
  const equal = rows.length === seen.size && rows.every(([, row]) => row.size === 1);
  const text = rows.map(([g, row]) => `${g}=${[...row].map(([c, ids]) => `${ids.length} ${c}`).join("+")}`);
  return { equal, text: text.join(" ") || "none", rows };
}
