import type { LotDocument } from "../contract/lot-document.ts";
import { calibrationSays } from "../judgement/calibration.ts";
import type { Html } from "./html.ts";
import { html, noHtml } from "./html.ts";

type Job = NonNullable<LotDocument["job"]>;

const howDrawn: Record<NonNullable<NonNullable<Job["sample"]>["how"]>, string> = {
  random: "drawn at random",
  stratified: "stratified (start, middle, end)",
  systematic: "every so many parts",
  "as-supplied": "as supplied, not drawn by the lab",
  all: "all parts",
};

/** What the job file states, as terms and texts for the head of the report; nothing without one. */
export function jobFacts({ job, run }: LotDocument): [term: string, text: string][] {
  if (job === null) return [];
  const facts: [string, string | undefined][] = [
    ["Note", job.note],
    ["Job", job.job],
    ["Part", joined(job.part, job.maker)],
    ["Lot", joined(job.lot, job.code && `code ${job.code}`)],
    ["Instrument", job.instrument && instrumentText(job.instrument, run.startedAt)],
    ["Decision rule", decisionRuleText(job)],
    ["Keep until", job.retentionUntil],
  ];
  return facts.flatMap(([term, text]) => (text === undefined || text === "" ? [] : [[term, text]]));
}

/** The sample as the job file states it. */
export function sampleText(job: LotDocument["job"]): string | undefined {
  const { sample } = job ?? {};
  if (sample === undefined) return undefined;
  const size = sample.size === undefined ? undefined : `${sample.size} parts planned`;
  const of = sample.sampleOf === undefined ? undefined : `of ${sample.sampleOf}`;
  return joined(size, of, sample.how && howDrawn[sample.how], sample.says);
}

/** A person with qualification and level. */
export function personText(person: Job["examiner"]): string | undefined {
  if (person === undefined) return undefined;
  return joined(person.name, person.qualification, person.level && `level ${person.level}`);
}

/** The technique sheet: distances in mm with their magnification. */
export function techniqueText(job: LotDocument["job"]): string | undefined {
  const sheet = job?.techniqueSheet;
  if (sheet === undefined) return undefined;
  const { sod, sdd } = sheet;
  return joined(
    sheet.id && `sheet ${sheet.id}`,
    sheet.kv && `${sheet.kv} kV`,
    sheet.ua && `${sheet.ua} µA`,
    sheet.filter,
    sod && `source to object ${sod} mm`,
    sdd && `source to detector ${sdd} mm`,
    sod && sdd && `magnification ${(sdd / sod).toPrecision(3)}`,
    sheet.frames && `${sheet.frames} frames`,
  );
}

/** What must not be overlooked: an instrument out of calibration, answers overruled, a rule that was not agreed. */
export function jobWarnings({ job, run, overruled }: LotDocument): Html {
  const due = calibrationSays(job?.instrument?.calibrationDue, run.startedAt);
  const warnings = [
    ...(due.overdue ? [`${job?.instrument?.id}: ${due.says}.`] : []),
    ...overruled.map((text) => `Job file overruled. ${text}`),
  ];
  return warnings.length === 0
    ? noHtml
    : html`${warnings.map((text) => html`<p class="warning">${text}</p>`)}`;
}

function instrumentText({ id, calibrationDue, says }: NonNullable<Job["instrument"]>, runAt: string): string {
  return joined(id, calibrationSays(calibrationDue, runAt).says, says) ?? "";
}

function decisionRuleText({ decisionRule }: Job): string {
  if (decisionRule === undefined) return "no decision rule was agreed";
  const { text, agreedOn, agreedBy } = decisionRule;
  const agreed = [agreedOn && ` on ${agreedOn}`, agreedBy && ` by ${agreedBy}`].filter(Boolean).join("");
  return agreed === "" ? text : `${text.replace(/\.$/, "")} (agreed${agreed})`;
}

function joined(...texts: (string | number | undefined)[]): string | undefined {
  const stated = texts.filter((text) => text !== undefined && text !== "" && text !== 0);
  return stated.length === 0 ? undefined : stated.join(", ");
}
