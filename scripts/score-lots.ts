/**
 * Runs the lot inspection on folders of known truth and says how right it was.
 *
 * node scripts/run.mjs scripts/score-lots.ts [--json FILE] FOLDER...
 *
 * Each folder holds pictures and truth.json (docs/methods/simulation.md). One line a lot, below it everything
 * that is wrong, at the end a summary. Exits 1 when any lot has something wrong. Each lot runs in a process of
 * its own, so that its peak memory is its own.
 */
import { fork } from "node:child_process";
import { readFileSync, writeFileSync } from "node:fs";
import path from "node:path";
import { fileURLToPath } from "node:url";
import { parseArgs } from "node:util";
import { runLot } from "../src/cli/lot-command.ts";
import type { LotDocument, LotDocumentPart } from "../src/contract/lot-document.ts";
import { defaultLotOptions } from "../src/inspections/lot/options.ts";
import { median, quantile } from "../src/numeric/order.ts";
import type { Measured } from "../src/units/measured.ts";

type Point = readonly [x: number, y: number];

/** What is read of a part's truth. `mirrored`, `cut_by_edge` and `faults` may be left out. */
interface TruePart {
  readonly id: string;
  readonly construction: string;
  readonly cut_by_edge?: boolean;
  readonly mirrored?: boolean;
  readonly rotation_deg: number;
  readonly faults?: readonly { readonly kind: string }[];
  readonly body_corners_px: readonly Point[];
  readonly die: { readonly present: boolean; readonly corners_px?: readonly Point[] };
}

interface Truth {
  readonly expected: {
    readonly suspect_parts: readonly string[];
    readonly groups: Readonly<Record<string, readonly string[]>>;
    readonly number_of_constructions: number;
  };
  readonly images: readonly {
    readonly file: string;
    readonly pixel_mm: number;
    readonly parts: readonly TruePart[];
  }[];
}

/** A part of the truth with what was found for it. */
interface Match {
  readonly truth: TruePart;
  readonly mmPerPx: number;
  readonly found: LotDocumentPart | null;
}

/** How far a length was off, in px of the picture. */
interface LengthError {
  readonly id: string;
  readonly truePx: number;
  readonly errorPx: number;
  readonly expandedPx: number;
}

interface Run {
  readonly document: LotDocument;
  readonly seconds: number;
  readonly peakMebibytes: number;
}

interface Score {
  readonly lot: string;
  readonly line: string;
  readonly wrong: readonly string[];
  readonly tally: Tally;
  readonly lengths: Readonly<Record<string, readonly LengthError[]>>;
  readonly cornerErrorsPx: readonly number[];
  readonly seconds: number;
  readonly peakMebibytes: number;
}

interface Tally {
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

const distance = (a: Point, b: Point): number => Math.hypot(a[0] - b[0], a[1] - b[1]);
const centre = (corners: readonly Point[]): Point => [
  corners.reduce((sum, [x]) => sum + x, 0) / corners.length,
  corners.reduce((sum, [, y]) => sum + y, 0) / corners.length,
];

/** Sides 0-1 and 1-2 of a rectangle given by its corners. */
function sides(corners: readonly Point[]): readonly [first: number, second: number] {
  const [a, b, c] = corners as readonly [Point, Point, Point];
  return [distance(a, b), distance(b, c)];
}

/** Nearest first: a found part belongs to the true part whose body centre lies within a quarter of its short side. */
function matchParts(truth: Truth, parts: readonly LotDocumentPart[]) {
  const pairs: { t: number; f: LotDocumentPart; apart: number }[] = [];
  const all = truth.images.flatMap((image) =>
    image.parts.map((part) => ({ truth: part, mmPerPx: image.pixel_mm, file: image.file })),
  );
  all.forEach(({ truth: part, file }, t) => {
    for (const f of parts) {
      if (path.basename(f.picture) !== file) continue;
      const apart = distance(centre(part.body_corners_px), centre(f.cornersPx));
      // Of a cut part only a piece is in the picture: its centre lies elsewhere in the body.
      const near = part.cut_by_edge
        ? Math.max(...sides(part.body_corners_px)) / 2
        : Math.min(...sides(part.body_corners_px)) / 4;
      if (apart < near) pairs.push({ t, f, apart });
    }
  });
  const found = new Map<number, LotDocumentPart>();
  const taken = new Set<LotDocumentPart>();
  for (const { t, f } of pairs.sort((p, q) => p.apart - q.apart)) {
    if (found.has(t) || taken.has(f)) continue;
    found.set(t, f);
    taken.add(f);
  }
  const matches: Match[] = all.map(({ truth: part, mmPerPx }, t) => ({
    truth: part,
    mmPerPx,
    found: found.get(t) ?? null,
  }));
  return { matches, spurious: parts.filter((f) => !taken.has(f)) };
}

/** The error of a measured length against the true one, or null when there is no number. */
function lengthError(match: Match, measuredAs: Measured | undefined, truePx: number): LengthError | null {
  if (measuredAs === undefined || measuredAs.value === null) return null;
  const perPx = measuredAs.unit === "mm" ? match.mmPerPx : 1;
  return {
    id: match.truth.id,
    truePx,
    errorPx: measuredAs.value / perPx - truePx,
    expandedPx: measuredAs.U / perPx,
  };
}

/** Sides of the die along and across the direction in which the method measures its length (its first body side). */
function dieSides(truth: TruePart, found: LotDocumentPart): readonly [number, number] | null {
  const die = truth.die.corners_px;
  if (!truth.die.present || !die) return null;
  const along = ([ax, ay]: Point, [bx, by]: Point, [cx, cy]: Point, [dx, dy]: Point) =>
    Math.abs((bx - ax) * (dx - cx) + (by - ay) * (dy - cy)) / distance([ax, ay], [bx, by]);
  const [p, q, r] = die as readonly [Point, Point, Point];
  const [c, d] = found.cornersPx;
  const [first, second] = sides(die);
  return along(p, q, c, d) >= along(q, r, c, d) ? [first, second] : [second, first];
}

/** Distances of the found body corners from the true ones, in the cyclic order that fits best. */
function cornerErrors(truth: TruePart, found: LotDocumentPart): readonly number[] {
  const orders = [0, 1, 2, 3].flatMap((s) =>
    [1, 3].map((step) => [0, 1, 2, 3].map((i) => found.cornersPx[(s + step * i) % 4] as Point)),
  );
  const errors = orders.map((order) => order.map((p, i) => distance(p, truth.body_corners_px[i] as Point)));
  const sum = (of: readonly number[]) => of.reduce((a, b) => a + b, 0);
  return errors.reduce((best, e) => (sum(e) < sum(best) ? e : best));
}

function lengthText(name: string, errors: readonly LengthError[], of: number): string {
  if (!errors.length) return `${name} none of ${of}`;
  const e = errors.map((x) => x.errorPx);
  const mean = e.reduce((a, b) => a + b, 0) / e.length;
  const sd = Math.sqrt(e.reduce((a, b) => a + (b - mean) ** 2, 0) / Math.max(1, e.length - 1));
  const max = Math.max(...e.map(Math.abs));
  const within = errors.filter((x) => Math.abs(x.errorPx) <= Math.max(0.01 * x.truePx, 1)).length;
  const covered = errors.filter((x) => Math.abs(x.errorPx) <= x.expandedPx).length;
  const percent = (n: number) => `${Math.round((100 * n) / errors.length)} %`;
  return `${name} ${errors.length}/${of} bias ${mean.toFixed(2)} sd ${sd.toFixed(2)} max ${max.toFixed(2)} px, within ${percent(within)}, in U ${percent(covered)}`;
}

/** Group by group, how many parts of each construction it holds; and whether that is the true partition of those judged. */
function compareGroups(truth: Truth, matches: readonly Match[]) {
  const table = new Map<string, Map<string, string[]>>();
  const wanted = new Map(
    Object.entries(truth.expected.groups).flatMap(([g, ids]) => ids.map((id) => [id, g])),
  );
  for (const { truth: part, found } of matches) {
    const own = wanted.get(part.id);
    if (own === undefined || !found?.assessable || found.group === null) continue;
    const row = table.get(found.group) ?? new Map<string, string[]>();
    table.set(found.group, row.set(own, [...(row.get(own) ?? []), part.id]));
  }
  const rows = [...table].sort(([a], [b]) => (a < b ? -1 : 1));
  const seen = new Set(rows.flatMap(([, row]) => [...row.keys()]));
  const equal = rows.length === seen.size && rows.every(([, row]) => row.size === 1);
  const text = rows.map(([g, row]) => `${g}=${[...row].map(([c, ids]) => `${ids.length} ${c}`).join("+")}`);
  return { equal, text: text.join(" ") || "none", rows };
}

/** Pose against truth, up to how the reference part lies. */
function comparePose(matches: readonly Match[]) {
  const placed = matches.flatMap(({ truth, found }) =>
    found?.assessable ? [{ truth, pose: found.pose }] : [],
  );
  const known = placed.filter(({ truth }) => truth.mirrored !== undefined);
  const clear = known.filter(({ pose }) => !pose.ambiguousWith.some((a) => a.mirrored !== pose.mirrored));
  const same = clear.filter(({ truth, pose }) => pose.mirrored === truth.mirrored);
  const other = clear.filter(({ truth, pose }) => pose.mirrored !== truth.mirrored);
  const disagree = (same.length >= other.length ? other : same).map(({ truth }) => truth.id);
  const upright = placed.filter(({ truth, pose }) => !truth.mirrored && !pose.mirrored);
  const wrap = (deg: number) => ((((deg + 180) % 360) + 360) % 360) - 180;
  const turns = upright.map(({ truth, pose }) => {
    const alternatives = pose.ambiguousWith.filter((a) => !a.mirrored).map((a) => a.turn);
    return { id: truth.id, off: [pose.turn, ...alternatives].map((t) => wrap(t - truth.rotation_deg)) };
  });
  // The lot's frame may lie at any turn: the one that most parts agree on.
  const agreeing = (base: number) => turns.filter((t) => t.off.some((d) => Math.abs(wrap(d - base)) <= 2));
  const base = turns.reduce((best, { off: [own] }) => {
    return agreeing(own as number).length > agreeing(best).length ? (own as number) : best;
  }, 0);
  const right = agreeing(base);
  const off = turns
    .filter((t) => !right.includes(t))
    .map((t) => `${t.id} by ${Math.round(wrap((t.off[0] as number) - base))}`);
  return { compared: clear.length, ambiguous: known.length - clear.length, disagree, turns, off };
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

function scoreLot(folder: string, { document, seconds, peakMebibytes }: Run): Score {
  const truth: Truth = JSON.parse(readFileSync(path.join(folder, "truth.json"), "utf8"));
  const { matches, spurious } = matchParts(truth, document.parts);
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
  const lengths: Record<string, LengthError[]> = {
    dieLength: [],
    dieWidth: [],
    bodyLength: [],
    bodyWidth: [],
  };
  const dieWhereNone: string[] = [];
  const dieUnmeasured: string[] = [];
  let dies = 0;
  for (const { m, found } of seen) {
    const die = dieSides(m.truth, found);
    const { dieLength, dieWidth, bodyLength, bodyWidth } = found.measurements;
    const [first, second] = sides(m.truth.body_corners_px);
    const push = (name: string, measuredAs: Measured | undefined, truePx: number) => {
      const error = lengthError(m, measuredAs, truePx);
      if (error) (lengths[name] as LengthError[]).push(error);
    };
    push("bodyLength", bodyLength, Math.max(first, second));
    push("bodyWidth", bodyWidth, Math.min(first, second));
    if (!die) {
      if (dieLength?.value != null) dieWhereNone.push(m.truth.id);
      continue;
    }
    dies++;
    push("dieLength", dieLength, die[0]);
    push("dieWidth", dieWidth, die[1]);
    if (dieLength?.value == null) dieUnmeasured.push(`${m.truth.id} ${dieLength?.because}`);
  }
  const corners = seen.flatMap(({ m, found }) => cornerErrors(m.truth, found));
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
    lengthText("die length", lengths.dieLength as LengthError[], dies),
    lengthText("die width", lengths.dieWidth as LengthError[], dies),
    lengthText("body length", lengths.bodyLength as LengthError[], seen.length),
    lengthText("body width", lengths.bodyWidth as LengthError[], seen.length),
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
    lengths,
    cornerErrorsPx: corners,
    seconds,
    peakMebibytes,
  };
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

/** The worst of the lengths outside max(1 %, 1 px), five a kind. */
function worstLengths(lengths: Readonly<Record<string, readonly LengthError[]>>): string[] {
  return Object.entries(lengths).flatMap(([name, errors]) => {
    const out = errors.filter((e) => Math.abs(e.errorPx) > Math.max(0.01 * e.truePx, 1));
    if (!out.length) return [];
    out.sort((a, b) => Math.abs(b.errorPx) - Math.abs(a.errorPx));
    const worst = out
      .slice(0, 5)
      .map((e) => `${e.id} ${e.errorPx.toFixed(2)} of ${e.truePx.toFixed(1)} (U ${e.expandedPx})`);
    return [`${name} outside max(1 %, 1 px): ${out.length} of ${errors.length}: ${worst.join(", ")}`];
  });
}

/** Runs one lot in this process and hands the result to the parent. */
async function runHere(folder: string): Promise<void> {
  const started = performance.now();
  const nothing = () => {};
  const { document } = await runLot(
    { inputs: [folder], options: defaultLotOptions, flat: [], dark: [], json: null, report: null },
    { step: nothing, note: nothing, end: nothing },
  );
  const seconds = (performance.now() - started) / 1000;
  const run: Run = { document, seconds, peakMebibytes: process.resourceUsage().maxRSS / 1024 };
  process.send?.(run, () => process.disconnect());
}

/** Runs one lot in a process of its own. */
function runApart(folder: string): Promise<Run> {
  return new Promise((resolve, reject) => {
    const child = fork(fileURLToPath(import.meta.url), [folder], {
      env: { ...process.env, CANDLER_SCORE_ONE: "1" },
    });
    child.once("message", (run) => resolve(run as Run));
    child.once("exit", (code, signal) =>
      reject(new Error(`the run ended without a result: ${signal ?? code}`)),
    );
  });
}

/** Sums over lots. */
function summary(scores: readonly Score[]): string {
  const sum = (of: (t: Tally) => number) => scores.reduce((total, s) => total + of(s.tally), 0);
  const pooled = (name: string) => scores.flatMap((s) => s.lengths[name] ?? []);
  const corners = scores.flatMap((s) => s.cornerErrorsPx);
  return [
    `lots ${scores.length}, nothing wrong in parts, groups, suspects: ${scores.filter(right).length}`,
    `parts ${sum((t) => t.found)} of ${sum((t) => t.whole)}, spurious ${sum((t) => t.spurious)}, whole yet not assessed ${sum((t) => t.wholeNotAssessed)}`,
    `groups equal to truth in ${scores.filter((s) => s.tally.groupsEqual).length} lots`,
    `suspects hit ${sum((t) => t.hit)} of ${sum((t) => t.suspects)}, missed ${sum((t) => t.missed)}, false ${sum((t) => t.falselySuspect)}`,
    ...["dieLength", "dieWidth", "bodyLength", "bodyWidth"].map((name) =>
      lengthText(name, pooled(name), pooled(name).length),
    ),
    corners.length
      ? `corners median ${median(corners).toFixed(2)} p95 ${quantile(corners, 0.95).toFixed(2)} px`
      : "",
    `mirrored ${sum((t) => t.mirrorAgrees)} of ${sum((t) => t.mirrorCompared)}, turn ${sum((t) => t.turnAgrees)} of ${sum((t) => t.turnCompared)}`,
    `seconds ${scores.reduce((a, s) => a + s.seconds, 0).toFixed(1)}, peak ${Math.round(Math.max(0, ...scores.map((s) => s.peakMebibytes)))} MiB`,
  ].join("\n");
}

function right({ tally: t }: Score): boolean {
  return (
    t.found === t.whole &&
    !t.spurious &&
    !t.wholeNotAssessed &&
    t.groupsEqual &&
    !t.missed &&
    !t.falselySuspect
  );
}

async function main(): Promise<void> {
  const { values, positionals } = parseArgs({
    allowPositionals: true,
    options: { json: { type: "string" } },
  });
  if (!positionals.length) {
    console.error("usage: node scripts/run.mjs scripts/score-lots.ts [--json FILE] FOLDER...");
    process.exitCode = 2;
    return;
  }
  const scores: Score[] = [];
  const crashed: { lot: string; says: string }[] = [];
  for (const folder of positionals) {
    try {
      const score = scoreLot(folder, await runApart(folder));
      scores.push(score);
      console.log([score.line, ...score.wrong.map((w) => `    ${w}`)].join("\n"));
    } catch (error) {
      crashed.push({ lot: path.basename(folder), says: String(error) });
      console.log(`${path.basename(folder)}: CRASHED ${error}`);
    }
  }
  console.log(
    `\n${summary(scores)}${crashed.length ? `\ncrashed: ${crashed.map((c) => c.lot).join(" ")}` : ""}`,
  );
  if (values.json) writeFileSync(values.json, `${JSON.stringify({ scores, crashed }, null, 1)}\n`);
  process.exitCode = crashed.length || scores.some((s) => !right(s)) ? 1 : 0;
}

if (process.env.CANDLER_SCORE_ONE) await runHere(process.argv.at(-1) as string);
else await main();
