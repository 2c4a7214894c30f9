import type { GroupStatistic } from "../../../statistics/permutation-test.ts";
import { permutationTest } from "../../../statistics/permutation-test.ts";
import { seededRandom } from "../../../statistics/random.ts";
import type { PlacedLot } from "../placing/place-lot.ts";
import type { HeldOutTest } from "../result.ts";
import type { ComparedLot } from "./compare-lot.ts";
import type { LinkedCharacteristic } from "./group-parts.ts";
import { combineDistances, groupMembers, groupParts } from "./group-parts.ts";

/** Something by which parts are compared: a size, a count, or the outline. */
interface Structure {
  readonly name: string;
  /** Groups that this structure alone makes. */
  readonly groupOf: readonly number[];
  /** How far two sets of parts lie apart in it. */
  readonly apart: (first: readonly number[], second: readonly number[]) => number;
}

/** Exchanges of labels for one test. */
const draws = 1999;

/**
 * Tests every two groups of a lot on structures that were not used to find the split: one structure that separates them
 * by itself is taken as what found it, all others are held out. What is seen in several independent structures is
 * hardly chance; what rests on one may be a real difference all the same, but rests on that one.
 *
 * @returns for two groups, in either order, what the test says
 */
export function heldOutTests(
  lot: Pick<PlacedLot, "items">,
  compared: Pick<ComparedLot, "groupOf" | "outline" | "outlineLink" | "characteristics">,
): (group: number, other: number) => HeldOutTest {
  const members = groupMembers(compared.groupOf);
  const structures = structuresOf(compared);
  const pairs = (members.length * (members.length - 1)) / 2;
  const results = new Map<string, HeldOutTest>();
  members.forEach((own, g) => {
    members.slice(0, g).forEach((others, h) => {
      results.set(`${g} ${h}`, testPair(lot, structures, own, others, pairs));
    });
  });
  return (group, other) => results.get(`${Math.max(group, other)} ${Math.min(group, other)}`) as HeldOutTest;
}

function testPair(
  { items }: Pick<PlacedLot, "items">,
  structures: readonly Structure[],
  own: readonly number[],
  others: readonly number[],
  pairs: number,
): HeldOutTest {
  const separates = ({ groupOf }: Structure) => {
    const here = new Set(own.map((i) => groupOf[i]));
    return !others.some((j) => here.has(groupOf[j]));
  };
  const found = structures
    .filter(separates)
    .reduce<Structure | null>(
      (best, s) => (!best || s.apart(own, others) > best.apart(own, others) ? s : best),
      null,
    );
  if (!found) {
    return untested("No one structure separates the two by itself, so that none could be held out.");
  }
  const heldOut = structures.filter((s) => s !== found);
  if (!heldOut.length) return untested(`Found by ${found.name}; nothing else could be measured on both.`);
  const all = [...own, ...others];
  const first = all.map((_, k) => k < own.length);
  const pictures = new Map<string, number>();
  const blockOf = all.map((i) => {
    const { picture } = (items[i] as PlacedLot["items"][number]).picture;
    if (!pictures.has(picture)) pictures.set(picture, pictures.size);
    return pictures.get(picture) as number;
  });
  const statistics = heldOut.map(
    (s): GroupStatistic =>
      (label) => {
        const of = (wanted: boolean) => all.filter((_, k) => label[k] === wanted);
        return s.apart(of(true), of(false));
      },
  );
  const { p, leastP, strongest } = permutationTest(
    first,
    blockOf,
    statistics,
    draws,
    seededRandom("held out"),
  );
  const on = heldOut.map((s) => s.name);
  const adjusted = Math.min(1, p * pairs);
  const least = Math.min(1, leastP * pairs);
  if (least > mostLeastP) {
    return {
      p: null,
      on,
      says: `Found by ${found.name}; too few pictures to test it on other structures.`,
    };
  }
  const number = `p = ${adjusted.toPrecision(2)}, adjusted for ${pairs * heldOut.length} comparisons`;
  const bound = least > 0.02 ? `; it could not be below ${least.toPrecision(2)} with so few` : "";
  return {
    p: adjusted,
    on,
    says:
      adjusted <= seenAgain
        ? `Found by ${found.name}; seen again in ${(heldOut[strongest] as Structure).name}, which was not used to find it (${number}${bound}).`
        : `Found by ${found.name}; not seen in other structures (${number}${bound}): it rests on that alone.`,
  };
}

/** A split is seen again below this chance. */
const seenAgain = 0.05;
/** Where even the clearest difference would have a higher chance than this, nothing is tested. */
const mostLeastP = 0.2;

function untested(says: string): HeldOutTest {
  return { p: null, on: [], says };
}

function structuresOf({
  outline,
  outlineLink,
  characteristics,
}: Pick<ComparedLot, "outline" | "outlineLink" | "characteristics">): Structure[] {
  const n = outline.size;
  const mean = (p: readonly number[], q: readonly number[]) => {
    let [sum, count] = [0, 0];
    for (const i of p) {
      for (const j of q) {
        if (i === j) continue;
        sum += outline.values[i * n + j] as number;
        count++;
      }
    }
    return count ? sum / count : 0;
  };
  const none = { size: n, values: new Float64Array(n * n) };
  const linked = characteristics.filter((c) => c.link !== null);
  return [
    {
      name: "outline",
      groupOf: groupParts(combineDistances(outline, outlineLink, [])),
      // Energy distance: how much farther the two lie from each other than from their own.
      apart: (p, q) => (2 * mean(p, q) - mean(p, p) - mean(q, q)) / outlineLink,
    },
    ...linked.map((c) => ({
      name: inWords(c.name),
      groupOf: groupParts(combineDistances(none, 1, [c])),
      apart: (p: readonly number[], q: readonly number[]) =>
        Math.abs(meanOf(c, p) - meanOf(c, q)) / (c.link as number),
    })),
  ];
}

/** `dieLength` as words: `die length`. */
function inWords(name: string): string {
  return name.replace(/[A-Z]/g, (letter) => ` ${letter.toLowerCase()}`);
}

/** Mean of a characteristic over parts; over all parts where these have none, which tells nothing apart. */
function meanOf({ values }: LinkedCharacteristic, of: readonly number[]): number {
  const seen = of.flatMap((i) => values[i] ?? []);
  const all = values.filter((v): v is number => v !== null);
  const from = seen.length ? seen : all;
  return from.reduce((sum, v) => sum + v, 0) / from.length;
}
