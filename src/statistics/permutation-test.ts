import type { Random } from "./random.ts";

/** A number that is large where two groups differ. `first` marks the members of one of them. */
export type GroupStatistic = (first: readonly boolean[]) => number;

export interface PermutationResult {
  /** Chance of so large a difference in any statistic if labels meant nothing. */
  readonly p: number;
  /** The smallest p that these labels and blocks can give. */
  readonly leastP: number;
  /** Index of the statistic that stands out most. */
  readonly strongest: number;
}

/**
 * Tests two groups on several statistics at once: labels are exchanged, each statistic is measured in units of its own
 * spread under exchange, and the largest is compared with the largest of each exchange, so that looking at several
 * does not make chance findings likelier (Westfall and Young 1993, maximum statistic).
 *
 * Members of one block (parts of one picture) are not independent. Where blocks hold both groups labels are exchanged
 * within blocks, else whole blocks exchange theirs.
 *
 * @param blockOf block of each member, 0, 1, ...
 * @param draws exchanges drawn at random; p is (1 + those as extreme) / (1 + draws)
 * @see Phipson and Smyth 2010 for why the 1 is added
 */
export function permutationTest(
  first: readonly boolean[],
  blockOf: readonly number[],
  statistics: readonly GroupStatistic[],
  draws: number,
  random: Random,
): PermutationResult {
  const blocks = membersOfBlocks(blockOf);
  const observed = statistics.map((statistic) => statistic(first));
  const drawn = Array.from({ length: draws }, () => {
    const exchanged = exchange(first, blocks, random);
    return statistics.map((statistic) => statistic(exchanged));
  });
  const inSpreads = statistics.map((_, s) => spreadsOf(drawn.map((values) => values[s] as number)));
  const stands = (values: readonly number[]) =>
    values.map((v, s) => (inSpreads[s] as (v: number) => number)(v));
  const own = stands(observed);
  const most = Math.max(...own);
  const asExtreme = drawn.filter((values) => Math.max(...stands(values)) >= most - 1e-9).length;
  return {
    p: (1 + asExtreme) / (1 + draws),
    leastP: Math.max(1 / (1 + draws), 1 / arrangements(first, blocks)),
    strongest: own.indexOf(most),
  };
}

function membersOfBlocks(blockOf: readonly number[]): number[][] {
  const blocks: number[][] = [];
  blockOf.forEach((block, i) => {
    blocks[block] ??= [];
    (blocks[block] as number[]).push(i);
  });
  return blocks;
}

const isMixed = (first: readonly boolean[], block: readonly number[]) =>
  block.some((i) => first[i]) && block.some((i) => !first[i]);

function exchange(
  first: readonly boolean[],
  blocks: readonly (readonly number[])[],
  random: Random,
): boolean[] {
  const out = [...first];
  if (blocks.some((block) => isMixed(first, block))) {
    for (const block of blocks) {
      random.order(block.length).forEach((from, to) => {
        out[block[to] as number] = first[block[from] as number] as boolean;
      });
    }
    return out;
  }
  random.order(blocks.length).forEach((from, to) => {
    const label = first[(blocks[from] as readonly number[])[0] as number] as boolean;
    for (const i of blocks[to] as readonly number[]) out[i] = label;
  });
  return out;
}

/** Number of ways the labels can lie. */
function arrangements(first: readonly boolean[], blocks: readonly (readonly number[])[]): number {
  if (!blocks.some((block) => isMixed(first, block))) {
    const marked = blocks.filter((block) => first[block[0] as number]).length;
    return choose(blocks.length, marked);
  }
  return blocks.reduce((ways, block) => ways * choose(block.length, block.filter((i) => first[i]).length), 1);
}

function choose(n: number, k: number): number {
  let ways = 1;
  for (let i = 1; i <= Math.min(k, n - k); i++) ways = (ways * (n - i + 1)) / i;
  return ways;
}

/** Measures a value from the mean of others in units of their standard deviation; 0 where they do not vary. */
function spreadsOf(values: readonly number[]): (value: number) => number {
  const mean = values.reduce((sum, v) => sum + v, 0) / values.length;
  const variance = values.reduce((sum, v) => sum + (v - mean) ** 2, 0) / values.length;
  const spread = Math.sqrt(variance);
  return (value) => (spread > 1e-12 * Math.abs(mean) && spread > 0 ? (value - mean) / spread : 0);
}
