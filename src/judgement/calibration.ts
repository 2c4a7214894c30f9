/**
 * Whether an instrument's calibration was due before the day of the run, in words.
 *
 * @param dueDay YYYY-MM-DD; undefined when not stated
 * @param runAt ISO 8601, its first ten characters the day
 */
export function calibrationSays(
  dueDay: string | undefined,
  runAt: string,
): { readonly overdue: boolean; readonly says: string } {
  if (dueDay === undefined) return { overdue: false, says: "calibration due: not stated" };
  const overdue = dueDay < runAt.slice(0, 10);
  return {
    overdue,
    says: overdue
      ? `CALIBRATION OVERDUE: it was due on ${dueDay}, before this run; sizes rest on a scale that was not confirmed`
      : `calibration due ${dueDay}`,
  };
}
