import type { LotChanges } from "../simulate/change-lot.ts";
import { changeLot } from "../simulate/change-lot.ts";
import { LotSpecError } from "../simulate/errors.ts";
import type { LotSpec } from "../simulate/lot-spec.ts";
import { lotPresets } from "../simulate/presets.ts";
import { UsageError } from "./errors.ts";

/**
 * A preset by its name, changed as asked.
 *
 * @throws UsageError for an unknown name, with the nearest known ones, or a change that cannot be met
 */
export function presetNamed(name: string, changes: LotChanges): LotSpec {
  if (!Object.hasOwn(lotPresets, name)) {
    const near = nearestNames(name, Object.keys(lotPresets));
    throw new UsageError(
      `There is no preset "${name}". Nearest: ${near.join(", ")}. candler simulate --list shows all.`,
    );
  }
  return asUsage(() => changeLot(lotPresets[name], changes));
}

/** What the simulator cannot draw is wrong use of the command. */
export function asUsage<T>(run: () => T): T {
  try {
    return run();
  } catch (error) {
    if (error instanceof LotSpecError) throw new UsageError(error.message, { cause: error });
    throw error;
  }
}

/** The three names that take the fewest changes of letters; those that hold `name` come first. */
export function nearestNames(name: string, known: readonly string[]): string[] {
  const cost = (other: string) => (other.includes(name) ? 0 : letterChanges(name, other));
  return [...known].sort((a, b) => cost(a) - cost(b)).slice(0, 3);
}

/** Letters to insert, drop or replace (Levenshtein). */
function letterChanges(a: string, b: string): number {
  let row = Array.from({ length: b.length + 1 }, (_, j) => j);
  for (let i = 1; i <= a.length; i++) {
    const next = [i];
    for (let j = 1; j <= b.length; j++)
      next[j] = Math.min(next[j - 1] + 1, row[j] + 1, row[j - 1] + (a[i - 1] === b[j - 1] ? 0 : 1));
    row = next;
  }
  return row[b.length];
}
