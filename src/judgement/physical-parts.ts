/** A part as one view shows it. */
export interface ViewedPart {
  readonly id: string;
  /** Name of the physical part; null when none was given. */
  readonly name: string | null;
  readonly view: string | null;
  readonly group: string | null;
  readonly suspect: boolean;
  readonly assessable: boolean;
}

/** A physical part with what each view of it says. */
export interface PhysicalPart {
  readonly name: string;
  readonly views: readonly {
    readonly view: string;
    readonly part: string;
    readonly group: string | null;
    readonly suspect: boolean;
    readonly assessable: boolean;
  }[];
  /** In any view. */
  readonly suspect: boolean;
  readonly says: string;
}

/**
 * Brings the views of each physical part together: suspect in any view is suspect, and a view that is missing or could
 * not be judged is said.
 *
 * @param views all views of the lot, in order
 * @returns in order of first appearance; parts without a name or a view are left out
 */
export function physicalParts(parts: readonly ViewedPart[], views: readonly string[]): PhysicalPart[] {
  const byName = new Map<string, PhysicalPart["views"][number][]>();
  for (const { id, name, view, group, suspect, assessable } of parts) {
    if (name === null || view === null) continue;
    const own = byName.get(name) ?? [];
    byName.set(name, own);
    own.push({ view, part: id, group, suspect, assessable });
  }
  return [...byName].map(([name, own]) => {
    const suspect = own.some((seen) => seen.suspect);
    const says = views.map((view) => {
      const seen = own.filter((each) => each.view === view);
      if (seen.length === 0) return `${view}: not seen`;
      if (seen.some((each) => each.suspect)) return `${view}: suspect`;
      return seen.some((each) => each.assessable) ? `${view}: nothing found` : `${view}: not judged`;
    });
    return { name, views: own, suspect, says: `${says.join("; ")}.` };
  });
}
