import type { Measured, NoNumber, Unit } from "../units/measured.ts";

/** How one characteristic lies in a group of parts. */
export type GroupMeasurement =
  | {
      readonly median: number;
      /** 1.4826 times the median absolute deviation; null with fewer than four parts. */
      readonly spread: number | null;
      /** The larger of twice the spread and the parts' median U: how far apart two like parts may read. */
      readonly U: number;
      readonly parts: number;
      readonly unit: Unit;
    }
  | { readonly median: null; readonly because: NoNumber };

/**
 * Median and robust spread of one characteristic over the parts of a group.
 * Parts without a number are left out; when most have none, the commonest reason is given.
 */
export function groupMeasurement(values: readonly Measured[]): GroupMeasurement {
  const numbers = values.filter((value) => value.value !== null);
  if (numbers.length === 0 || numbers.length * 2 < values.length) {
    const reasons = values.flatMap((value) => (value.value === null ? [value.because] : []));
    return { median: null, because: commonest(reasons) ?? "not-assessed" };
  }
  const unit = numbers[0].unit;
  const same = numbers.filter((value) => value.unit === unit);
  const median = medianOf(same.map(({ value }) => value));
  const spread =
    same.length < 4 ? null : 1.4826 * medianOf(same.map(({ value }) => Math.abs(value - median)));
  const U = Math.max(2 * (spread ?? 0), medianOf(same.map((value) => value.U)));
  return { median, spread, U, parts: same.length, unit };
}

/** A part's value less its group's median; `outside` when that is more than both doubts together. */
export function differenceFromGroup(
  part: Measured,
  group: GroupMeasurement,
): { by: Measured; outside: boolean } | null {
  if (part.value === null || group.median === null || part.unit !== group.unit) return null;
  const value = part.value - group.median;
  const U = Math.hypot(part.U, group.U);
  return { by: { value, U, k: 2, unit: part.unit }, outside: Math.abs(value) > U };
}

function medianOf(values: readonly number[]): number {
  const sorted = [...values].sort((a, b) => a - b);
  const middle = sorted.length >> 1;
  return sorted.length % 2 === 1 ? sorted[middle] : (sorted[middle - 1] + sorted[middle]) / 2;
}

function commonest<T>(items: readonly T[]): T | undefined {
  const counts = new Map<T, number>();
  for (const item of items) counts.set(item, (counts.get(item) ?? 0) + 1);
  return [...counts].sort((a, b) => b[1] - a[1])[0]?.[0];
}
