import type { LotCompared } from "../result.ts";

/**
 * What was compared in every portion: the largest of the smallest detectable differences, and assessable only where it
 * is in all.
 *
 * @param portions what each compared, in the order of the first
 */
export function worstCompared(portions: readonly (readonly LotCompared[])[]): LotCompared[] {
  const names = [...new Set(portions.flatMap((own) => own.map(({ characteristic }) => characteristic)))];
  return names.map((name) => {
    const own = portions.map((of) => of.find(({ characteristic }) => characteristic === name));
    const known = own.filter((one) => one !== undefined);
    const [first] = known as [LotCompared];
    const missing = own.length - known.length;
    const hidden = known.filter(({ assessable }) => !assessable);
    if (own.length === 1) return first;
    if (hidden.length || missing) {
      const lacking = hidden.length + missing;
      const because = hidden[0]?.because ?? "it was not compared";
      const assessable = false;
      const where = lacking === own.length ? "" : `in ${lacking} of ${own.length} portions: `;
      return { ...(hidden[0] ?? first), assessable, because: `${where}${because}` };
    }
    const worst = known.reduce((p, q) => (limitOf(q) > limitOf(p) ? q : p));
    return { ...worst, because: `in the portion of ${own.length} that could find least: ${worst.because}` };
  });
}

function limitOf({ smallestDetectable: { value } }: LotCompared): number {
  return value ?? Number.NEGATIVE_INFINITY;
}
