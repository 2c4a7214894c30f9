import type { CountedShare } from "../statistics/exact-interval.ts";
import type { LotSpec } from "./lot-spec.ts";
import type { OutcomeSum } from "./sum-outcomes.ts";

/** What simulated lots say of a planned inspection, in sentences. */
export function performanceSays(sum: OutcomeSum): string[] {
  const says = [`${sum.lots} simulated lots, ${sum.parts} invented parts.`];
  const say = (what: string, share: CountedShare) => {
    const text = shareText(share);
    if (text !== null) says.push(`${what}: ${text}.`);
  };
  for (const { what, detected } of sum.detectedByKind) say(`Detected (${what})`, detected);
  if (sum.detectedByKind.length > 1) say("Detected in all", sum.detected);
  say("Sound parts named suspect", sum.falselySuspect);
  say("Sound parts with a call", sum.falselyCalled);
  say("Lots falsely split into groups", sum.falselySplit);
  say("Lots with anything false", sum.anythingFalse);
  say("Lots of several constructions told apart", sum.toldApart);
  say("Parts not found or not assessable", sum.notJudged);
  if (sum.spurious) says.push(`Pieces taken for parts: ${sum.spurious}.`);
  return says;
}

/** What the figures rest on. */
export function performanceAssumptions({ faults, constructions, minorityShare }: LotSpec): string[] {
  const put = faults.map(({ fault, count }) => `${count} x ${fault.kind}`);
  const [, ...others] = constructions;
  put.push(...others.map(({ count }) => `${count} of another construction`));
  return [
    `In each lot: ${put.join(", ") || "one construction, nothing wrong"}.`,
    `Odd is a fault, or a construction held by at most ${100 * minorityShare} % of 8 parts or more; parts that only lie otherwise are sound.`,
    "Spreads of die, wires, moulding and placement, beam and detector are the simulator's (typical values, common practice): the figures hold for parts and pictures like these.",
    "The inspection was given the pictures alone: no scale, body size or exemplar.",
    "Intervals are exact (Clopper-Pearson), 95 %, and take parts as independent; parts of one lot are not quite.",
  ];
}

function shareText({ count, of, share, low, high }: CountedShare): string | null {
  if (share === null || low === null || high === null) return null;
  const percent = (value: number) => `${(100 * value).toFixed(1)} %`;
  return `${count} of ${of}, ${percent(share)} (95 %: ${percent(low)} to ${percent(high)})`;
}
