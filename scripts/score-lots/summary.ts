import { median, quantile } from "../../src/numeric/order.ts";
import type { LengthScore } from "./lengths.ts";
import { lengthText } from "./lengths.ts";
import type { Score, Tally } from "./score-lot.ts";
import { right } from "./score-lot.ts";
import { sumWires, wireText } from "./wires.ts";

/** Sums over lots. */
export function summary(scores: readonly Score[]): string {
  const sum = (of: (t: Tally) => number) => scores.reduce((total, s) => total + of(s.tally), 0);
  const pooled = (name: keyof LengthScore["lengths"]) => scores.flatMap((s) => s.lengths[name]);
  const corners = scores.flatMap((s) => s.cornerErrorsPx);
  return [
    `lots ${scores.length}, nothing wrong in parts, groups, suspects: ${scores.filter(right).length}`,
    `parts ${sum((t) => t.found)} of ${sum((t) => t.whole)}, spurious ${sum((t) => t.spurious)}, whole yet not assessed ${sum((t) => t.wholeNotAssessed)}`,
    `groups equal to truth in ${scores.filter((s) => s.tally.groupsEqual).length} lots`,
    `suspects hit ${sum((t) => t.hit)} of ${sum((t) => t.suspects)}, missed ${sum((t) => t.missed)}, false ${sum((t) => t.falselySuspect)}`,
    ...(["dieLength", "dieWidth", "bodyLength", "bodyWidth"] as const).map((name) =>
      lengthText(name, pooled(name), pooled(name).length),
    ),
    wireText(sumWires(scores.map((s) => s.wires))),
    corners.length
      ? `corners median ${median(corners).toFixed(2)} p95 ${quantile(corners, 0.95).toFixed(2)} px`
      : "",
    `mirrored ${sum((t) => t.mirrorAgrees)} of ${sum((t) => t.mirrorCompared)}, turn ${sum((t) => t.turnAgrees)} of ${sum((t) => t.turnCompared)}`,
    `seconds ${scores.reduce((a, s) => a + s.seconds, 0).toFixed(1)}, peak ${Math.round(Math.max(0, ...scores.map((s) => s.peakMebibytes)))} MiB`,
  ].join("\n");
}
