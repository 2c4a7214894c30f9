/** Two judges on the same things, or a judge and the truth: `table[i][j]` counts things called i and j. */
export interface AgreementTable {
  readonly table: readonly (readonly number[])[];
}

/** Agreement beyond chance. All null where chance alone would agree (one class only), or nothing was judged. */
export interface Kappa {
  /** Share on which both agree. */
  readonly agreement: number | null;
  readonly kappa: number | null;
  /** Large-sample standard error; says little below some 30 things. */
  readonly standardError: number | null;
  /** kappa -+ 1.96 standard errors, within -1..1. */
  readonly low: number | null;
  readonly high: number | null;
}

/** Normal quantile at 97.5 %. */
const Z = 1.959963984540054;

/**
 * Cohen's kappa, (po - pe) / (1 - pe), with its large-sample standard error.
 *
 * Cohen, Educ. Psychol. Meas. 20 (1960) 37; error after Fleiss, Cohen and Everitt, Psychol. Bull. 72 (1969) 323
 * (both from memory); values checked against statsmodels and psych (R) in the test.
 *
 * @throws RangeError when the table is not square
 */
export function cohenKappa({ table }: AgreementTable): Kappa {
  const classes = table.length;
  if (table.some((row) => row.length !== classes))
    throw new RangeError(`Expected a square table of ${classes} classes. Give both judges the same classes.`);
  const total = table.reduce((sum, row) => sum + row.reduce((a, b) => a + b, 0), 0);
  if (total === 0) return { agreement: null, kappa: null, standardError: null, low: null, high: null };
  const share = (i: number, j: number) => table[i][j] / total;
  const first = table.map((row) => row.reduce((a, b) => a + b, 0) / total);
  const second = table.map((_, j) => table.reduce((sum, row) => sum + row[j], 0) / total);
  const agreement = first.reduce((sum, _, i) => sum + share(i, i), 0);
  const chance = first.reduce((sum, p, i) => sum + p * second[i], 0);
  if (1 - chance < 1e-12) return { agreement, kappa: null, standardError: null, low: null, high: null };
  const kappa = (agreement - chance) / (1 - chance);
  let onDiagonal = 0;
  let off = 0;
  for (let i = 0; i < classes; i++) {
    onDiagonal += share(i, i) * (1 - (first[i] + second[i]) * (1 - kappa)) ** 2;
    for (let j = 0; j < classes; j++) if (i !== j) off += share(i, j) * (second[i] + first[j]) ** 2;
  }
  const variance =
    (onDiagonal + (1 - kappa) ** 2 * off - (kappa - chance * (1 - kappa)) ** 2) / ((1 - chance) ** 2 * total);
  const standardError = Math.sqrt(Math.max(0, variance));
  return {
    agreement,
    kappa,
    standardError,
    low: Math.max(-1, kappa - Z * standardError),
    high: Math.min(1, kappa + Z * standardError),
  };
}
