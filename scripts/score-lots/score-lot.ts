import path from "node:path";
import type { LotDocument, LotDocumentPart } from "../../src/contract/lot-document.ts";
import { median, quantile } from "../../src/numeric/order.ts";
import { centreOf as centre, matchParts, sidesOf as sides } from "../../src/simulate/match-parts.ts";
import { compareGroups } from "./compare-groups.ts";
import { comparePose } from "./compare-pose.ts";
import type { LengthScore } from "./lengths.ts";
import { cornerErrors, lengthText, scoreLengths, worstLengths } from "./lengths.ts";
import type { Match } from "./truth.ts";
import { readTruth } from "./truth.ts";
import type { WireScore } from "./wires.ts";
import { scoreWires, sumWires, wireText } from "./wires.ts";

export interface Run {
  readonly document: LotDocument;
  readonly seconds: number;
  readonly peakMebibytes: number;
}

export interface Score {
  readonly lot: string;
  readonly line: string;
  readonly wrong: readonly string[];
  readonly tally: Tally;
  readonly wires: WireScore;
  readonly lengths: LengthScore["lengths"];
  readonly cornerErrorsPx: readonly number[];
  readonly seconds: number;
  readonly peakMebibytes: number;
}

export interface Tally {
  readonly whole: number;
  readonly found: number;
  readonly spurious: number;
  readonly cut: number;
  readonly cutFlagged: number;
  readonly wholeNotAssessed: number;
  readonly groupsEqual: boolean;
  readonly suspects: number;
  readonly hit: number;
  readonly missed: number;
  readonly falselySuspect: number;
  readonly mirrorCompared: number;
  readonly mirrorAgrees: number;
  readonly turnCompared: number;
  readonly turnAgrees: number;
}

export function right({ tally: t }: Score): boolean {
  return (
    t.found === t.whole &&
    !t.spurious &&
    !t.wholeNotAssessed &&
    t.groupsEqual &&
    !t.missed &&
    !t.falselySuspect
  );
}

/** Compares one lot's document with the truth of its folder. */
export function scoreLot(folder: string, { document, seconds, peakMebibytes }: Run): Score {
  const truth = readTruth(folder);
  const { matches, spurious } = matchParts(truth.images, document.parts);
  const whole = matches.filter((m) => !m.truth.cut_by_edge);
  const cut = matches.filter((m) => m.truth.cut_by_edge);
  const missing = whole.filter((m) => !m.found);
  const notAssessed = whole.filter((m) => m.found && !m.found.assessable);
  const cutUnflagged = cut.filter((m) => m.found?.assessable);
  const groups = compareGroups(truth, matches);
  const pose = comparePose(matches);
  const wanted = new Set(truth.expected.suspect_parts);
  const missed = matches.filter((m) => wanted.has(m.truth.id) && !m.found?.suspect);
  const falsely = matches.filter((m) => !wanted.has(m.truth.id) && m.found?.suspect);
  const seen = whole.flatMap((m) => (m.found?.assessable ? [{ m, found: m.found }] : []));
  const { lengths, dies, dieUnmeasured, dieWhereNone } = scoreLengths(seen);
  const corners = seen.flatMap(({ m, found }) => cornerErrors(m.truth, found));
  const wires = sumWires(
    seen.flatMap(({ m, found }) =>
      m.truth.wires?.length ? [scoreWires(m.truth.id, m.truth.wires, found)] : [],
    ),
  );
  const tally: Tally = {
    whole: whole.length,
    found: whole.length - missing.length,
    spurious: spurious.length,
    cut: cut.length,
    cutFlagged: cut.filter((m) => m.found && !m.found.assessable).length,
    wholeNotAssessed: notAssessed.length,
    groupsEqual: groups.equal && 2 * seen.length > whole.length,
    suspects: wanted.size,
    hit: wanted.size - missed.length,
    missed: missed.length,
    falselySuspect: falsely.length,
    mirrorCompared: pose.compared,
    mirrorAgrees: pose.compared - pose.disagree.length,
    turnCompared: pose.turns.length,
    turnAgrees: pose.turns.length - pose.off.length,
  };
  // One construction with faulty parts may be called either.
  const asExpected =
    truth.expected.number_of_constructions > 1
      ? document.conclusion === "mixed"
      : document.conclusion === "consistent" || (wanted.size > 0 && document.conclusion === "mixed");
  const wrong = [
    ...missing.map((m) => `missing: ${m.truth.id} at ${centre(m.truth.body_corners_px).map(Math.round)}`),
    ...spurious.map((f) => `spurious: ${f.id} at ${centre(f.cornersPx).map(Math.round)}, ${sizeText(f)}`),
    ...cutUnflagged.map((m) => `cut, yet judged: ${describe(m, document)}`),
    ...notAssessed.map((m) => `whole, yet not assessed: ${describe(m, document)}`),
    ...(tally.groupsEqual ? [] : [`groups: ${groups.text}`, ...splitReasons(document)]),
    ...missed.map((m) => `missed: ${describe(m, document)}`),
    ...falsely.map((m) => `false: ${describe(m, document)}`),
    ...(asExpected
      ? []
      : [`conclusion: ${document.conclusion}, of ${truth.expected.number_of_constructions} constructions`]),
    ...(pose.disagree.length ? [`mirrored disagrees: ${pose.disagree.join(" ")}`] : []),
    ...(pose.off.length ? [`turn off by more than 2 degrees: ${pose.off.join(", ")}`] : []),
    ...(dieUnmeasured.length ? [`die not measured: ${dieUnmeasured.join(", ")}`] : []),
    ...(dieWhereNone.length ? [`die measured where there is none: ${dieWhereNone.join(" ")}`] : []),
    ...wires.wrong,
    ...worstLengths(lengths),
    ...document.unreadable.map((u) => `unreadable: ${u.picture} ${u.reason}`),
    ...document.ignored.map((u) => `ignored: ${u.picture} ${u.because}`),
  ];
  const count = (n: number, of: number) => `${n}/${of}`;
  const line = [
    path.basename(folder),
    `parts ${count(tally.found, tally.whole)} +${tally.spurious}`,
    `cut ${count(tally.cutFlagged, cut.filter((m) => m.found).length)} of ${tally.cut}`,
    `groups ${tally.groupsEqual ? "yes" : "NO"} ${groups.text}`,
    `suspects ${count(tally.hit, tally.suspects)} hit ${tally.missed} missed ${tally.falselySuspect} false`,
    lengthText("die length", lengths.dieLength, dies),
    lengthText("die width", lengths.dieWidth, dies),
    wireText(wires),
    lengthText("body length", lengths.bodyLength, seen.length),
    lengthText("body width", lengths.bodyWidth, seen.length),
    corners.length
      ? `corners median ${median(corners).toFixed(2)} p95 ${quantile(corners, 0.95).toFixed(2)} max ${Math.max(...corners).toFixed(2)} px`
      : "corners none",
    `mirrored ${count(tally.mirrorAgrees, tally.mirrorCompared)} (${pose.ambiguous} ambiguous)`,
    `turn ${count(tally.turnAgrees, tally.turnCompared)}`,
    `${document.conclusion}`,
    `${seconds.toFixed(1)} s ${Math.round(peakMebibytes)} MiB`,
  ].join("; ");
  return {
    lot: path.basename(folder),
    line,
    wrong,
    tally,
    wires,
    lengths,
    cornerErrorsPx: corners,
    seconds,
    peakMebibytes,
  };
}

function describe({ truth, found }: Match, document: LotDocument): string {
  const faults = truth.faults?.map((f) => f.kind).join(", ");
  const is = `${truth.id} (${truth.construction}${faults ? `; ${faults}` : ""}${truth.die.present ? "" : "; no die"})`;
  if (!found) return `${is}: not found`;
  if (!found.assessable) return `${is}: ${found.id} not assessable, ${found.because}`;
  const size = document.groups.find((g) => g.name === found.group)?.size;
  const calls = found.calls.map((c) => `${c.kind} [${c.boxPx.map(Math.round)}] ${c.says}`).join(" | ");
  return `${is}: ${found.id} group ${found.group} of ${size}, oddness ${found.oddness}, ${calls || "no calls"}`;
}

function sizeText(found: LotDocumentPart): string {
  const size = sides(found.cornersPx).map(Math.round).join(" x ");
  return `${size} px, ${found.assessable ? `group ${found.group}` : `not assessable: ${found.because}`}`;
}

/** What the document says separates its groups. */
function splitReasons(document: LotDocument): string[] {
  return document.groups.slice(1).map((group) => {
    const from = group.differsFrom.find((d) => d.group === document.groups[0]?.name);
    const because = from?.because.map(({ measurement, by }) =>
      by.value === null ? measurement : `${measurement} by ${by.value} +- ${by.U} ${by.unit}`,
    );
    const ids = group.size <= 6 ? ` [${group.parts.map((id) => path.basename(id)).join(" ")}]` : "";
    return `  ${group.name}${ids} differs from ${from?.group}: ${because?.join(", ") || "nothing named"}`;
  });
}
