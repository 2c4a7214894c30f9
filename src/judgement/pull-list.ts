/** A part as the pull list needs it. */
export interface PullListPart {
  readonly id: string;
  readonly picture: string;
  readonly cornersPx: readonly (readonly [number, number])[];
  readonly code: string | null;
  readonly position: string | null;
  readonly name: string | null;
  readonly calls: readonly { readonly says: string }[];
}

/** A part to be taken out of the tape or tray. */
export interface PullListEntry {
  /** Id of the part. */
  readonly part: string;
  readonly position: string | null;
  readonly picture: string;
  /** Number in its picture in reading order, and how many parts that holds. */
  readonly numberInPicture: number;
  readonly partsInPicture: number;
  /** Middle of the body, whole px of the picture. */
  readonly centrePx: readonly [number, number];
  readonly code: string | null;
  readonly name: string | null;
  readonly because: string;
}

const mostReasons = 2;

/** What goes with every pull list. It defers to law and contract. */
export const quarantineCaution =
  "Parts pulled are held in quarantine: apart, marked, with access control. How long, whom to tell and what may be done with them is a matter of law and contract. Do not return them to the seller unless their resale is precluded.";

/**
 * The suspects as a list for the person who takes them out, in order of position (numbers by value, then texts),
 * those without a position last in reading order.
 *
 * @param parts all parts, those of one picture in reading order
 * @param suspects ids
 */
export function pullList(parts: readonly PullListPart[], suspects: readonly string[]): PullListEntry[] {
  const wanted = new Set(suspects);
  const inPicture = new Map<string, string[]>();
  for (const { id, picture } of parts) inPicture.set(picture, [...(inPicture.get(picture) ?? []), id]);
  const entries = parts
    .filter(({ id }) => wanted.has(id))
    .map((part) => {
      const beside = inPicture.get(part.picture) ?? [part.id];
      const mean = (axis: 0 | 1) =>
        Math.round(part.cornersPx.reduce((sum, corner) => sum + corner[axis], 0) / part.cornersPx.length);
      return {
        part: part.id,
        position: part.position,
        picture: part.picture,
        numberInPicture: beside.indexOf(part.id) + 1,
        partsInPicture: beside.length,
        centrePx: [mean(0), mean(1)] as const,
        code: part.code,
        name: part.name,
        because: reasonOf(part.calls.map(({ says }) => says)),
      };
    })
    .sort((a, b) => comparePositions(a.position, b.position));
  return onceEach(entries);
}

/** A part that is suspect in several views is pulled once; the other views are named in its reason. */
function onceEach(entries: readonly PullListEntry[]): PullListEntry[] {
  const byName = new Map<string, PullListEntry>();
  for (const entry of entries) {
    const key = entry.name ?? `#${entry.part}`;
    const before = byName.get(key);
    const because = before && `${before.because}; in ${entry.part}: ${entry.because}`;
    byName.set(key, before && because ? { ...before, because } : entry);
  }
  return [...byName.values()];
}

/** Enough to know the part by; the report holds the rest. */
function reasonOf(says: readonly string[]): string {
  if (says.length === 0) return "belongs to a group that is a small minority of the lot";
  const left = says.length - mostReasons;
  return says.slice(0, mostReasons).join("; ") + (left > 0 ? `; and ${left} more` : "");
}

/** Whole numbers by value, before texts; null last. */
function comparePositions(a: string | null, b: string | null): number {
  if (a === null || b === null) return Number(a === null) - Number(b === null);
  const [p, q] = [Number(a), Number(b)];
  if (Number.isFinite(p) && Number.isFinite(q)) return p - q;
  if (Number.isFinite(p) !== Number.isFinite(q)) return Number.isFinite(p) ? -1 : 1;
  return a < b ? -1 : Number(a > b);
}
