import { polarityFromEvidence } from "./polarity.ts";
import type { Polarity } from "./radiograph.ts";

/** A picture whose own evidence reaches this far keeps its own polarity. */
const sureOfItself = 0.5;

/**
 * Which way grey runs in a set of pictures taken alike, from what they show together. Cues err the same way in
 * pictures of one kind, so many of them say no more than their mean.
 *
 * @returns "unknown" for no pictures and where their evidence cancels out
 */
export function lotPolarity(polarities: readonly Polarity[]): Polarity["value"] {
  if (!polarities.length) return "unknown";
  const mean = polarities.reduce((sum, p) => sum + p.evidence, 0) / polarities.length;
  return polarityFromEvidence(mean);
}

/**
 * Whether a picture that is not sure of itself says otherwise than its lot, and is better read as the lot says. Where
 * the lot says nothing it is read as dense is dark, and a picture that says just that keeps its word.
 */
export function followsLot(polarity: Polarity, lot: Polarity["value"]): boolean {
  if (polarity.confidence >= sureOfItself || polarity.because === "person") return false;
  return lot === "unknown" ? polarity.value === "dense-is-bright" : polarity.value !== lot;
}
