import type { Agreement } from "./bench-case.ts";

const probes = 1009;
/**
 * Share of probes that must agree: the rest may lie at borders, where libraries differ on purpose, or on steep edges
 * in a warp, for which OpenCV rounds places to 1/32 px (from memory; 97.0 % of probes agree there).
 */
const leastShare = 0.95;
/** Two values agree within this share of the reference's range. */
const tolerance = 1e-3;

interface Probed {
  readonly size: number;
  readonly at: readonly number[];
}

/**
 * Compares two results of one step: numbers, or pictures at 1009 places spread evenly over them (`as_found` in
 * reference.py takes the same). Null where the results have no common form.
 */
export function kernelAgreement(ours: unknown, reference: unknown): Agreement | null {
  if (typeof ours === "number" && typeof reference === "number") {
    const off = Math.abs(ours - reference) / Math.max(1e-12, Math.abs(reference));
    return { agrees: off < tolerance, says: `${ours.toPrecision(6)} and ${reference.toPrecision(6)}` };
  }
  const values = valuesOf(ours);
  const probed = probedOf(reference);
  if (values === null || probed === null) return null;
  if (values.length !== probed.size) {
    return { agrees: false, says: `sizes differ: ${values.length} and ${probed.size}` };
  }
  const own = probed.at.map((_, k) => Number(values[Math.floor((k * values.length) / probes)]));
  const range = Math.max(...probed.at) - Math.min(...probed.at) || 1;
  const off = own.map((value, k) => Math.abs(value - probed.at[k]) / range);
  const share = off.filter((d) => d <= tolerance).length / off.length;
  const sorted = off.filter((d) => !Number.isNaN(d)).sort((p, q) => p - q);
  const typical = sorted[sorted.length >> 1] ?? Number.NaN;
  return {
    agrees: share >= leastShare,
    says: `${(100 * share).toFixed(1)} % of ${probes} places within 0.1 % of the range, median ${typical.toExponential(0)}`,
  };
}

/** Pixels of an image, a mask, a spectrum's real part, the mean of mean and variance, or an array itself. */
function valuesOf(result: unknown): ArrayLike<number> | null {
  if (ArrayBuffer.isView(result)) return result as Float32Array;
  if (typeof result !== "object" || result === null) return null;
  for (const key of ["data", "re", "labels"] as const) {
    const held = (result as Record<string, unknown>)[key];
    if (ArrayBuffer.isView(held)) return held as Float32Array;
  }
  if ("mean" in result) return valuesOf(result.mean);
  return null;
}

/** The first picture in the reference's result. */
function probedOf(reference: unknown): Probed | null {
  if (Array.isArray(reference)) {
    for (const one of reference) {
      const probed = probedOf(one);
      if (probed !== null) return probed;
    }
    return null;
  }
  return typeof reference === "object" && reference !== null && "at" in reference
    ? (reference as Probed)
    : null;
}
