import { parseArgs } from "node:util";
import type { LotOptions } from "../inspections/lot/options.ts";
import type { WireKind } from "../inspections/wires/expected-wire.ts";
import { wireMaterials } from "../inspections/wires/expected-wire.ts";
import type { LotReportAbout } from "../report/lot-conclusion.ts";
import { UsageError } from "./errors.ts";

/** What `candler lot` was asked. */
export interface LotRequest {
  readonly inputs: readonly string[];
  readonly options: LotOptions;
  readonly flat: readonly string[];
  readonly dark: readonly string[];
  /** Pictures of parts of known origin. */
  readonly exemplars?: readonly string[];
  /** File for the JSON document, "-" for standard output. */
  readonly json: string | null;
  /** File for the HTML report. */
  readonly report: string | null;
  /** What a person adds to the report: sample, technique. */
  readonly about?: LotReportAbout;
  /** Table of date or lot codes, positions, views. */
  readonly codes?: string | null;
  readonly job?: string | null;
  /** Number of the first picture's first pocket along the tape. */
  readonly tape?: number | null;
  /** CSV file for the suspects to be taken out. */
  readonly pullList?: string | null;
  readonly stopAtFirstSuspect?: boolean;
  /** Parts inspected together; the method's own number when not given. */
  readonly together?: number | null;
  /** Goes on with a stopped inspection. */
  readonly resume?: { readonly previous: string; readonly by: string; readonly because: string } | null;
}

/** @throws UsageError when an option is unknown or its value cannot be followed */
export function parseLotRequest(args: readonly string[]): LotRequest {
  let parsed: ReturnType<typeof parseLot>;
  try {
    parsed = parseLot(eachExemplarNamed(args));
  } catch (error) {
    throw new UsageError(error instanceof Error ? error.message : String(error), { cause: error });
  }
  const { values, positionals } = parsed;
  if (!positionals.length) {
    throw new UsageError(
      values.exemplar
        ? "No pictures of the lot were given: what follows --exemplar, up to the next option, are exemplars. Put the lot's pictures first."
        : "No pictures were given.",
    );
  }
  const exemplarScale = values["exemplar-scale-um"];
  return {
    inputs: positionals,
    options: {
      scaleUmPerPx: values["scale-um"] === undefined ? null : positive("--scale-um", values["scale-um"]),
      bodyMm: values["body-mm"] === undefined ? null : bodySize(values["body-mm"]),
      quantity: values.quantity === undefined ? null : whole("--quantity", values.quantity),
      ...(exemplarScale === undefined
        ? {}
        : { exemplarScaleUmPerPx: positive("--exemplar-scale-um", exemplarScale) }),
      ...(values.wire === undefined ? {} : { wire: wireKind(values.wire) }),
    },
    flat: values.flat ?? [],
    dark: values.dark ?? [],
    exemplars: values.exemplar ?? [],
    json: values.json ?? null,
    report: values.report ?? null,
    codes: values.codes ?? null,
    job: values.job ?? null,
    tape: values.tape === undefined ? null : pocket(values.tape),
    pullList: values["pull-list"] ?? null,
    stopAtFirstSuspect: values["stop-at-first-suspect"] ?? false,
    together: values.together === undefined ? null : atLeastEight(values.together),
    resume: resumeOrder(values),
  };
}

/** `--exemplar A B` as `--exemplar A --exemplar B`: a pattern that the shell has spread out is all exemplars. */
function eachExemplarNamed(args: readonly string[]): string[] {
  let inExemplars = false;
  return args.flatMap((arg, i) => {
    if (arg.startsWith("-") && arg !== "-") inExemplars = arg === "--exemplar";
    else if (inExemplars && args[i - 1] !== "--exemplar") return ["--exemplar", arg];
    return [arg];
  });
}

function parseLot(args: readonly string[]) {
  return parseArgs({
    args: [...args],
    allowPositionals: true,
    options: {
      json: { type: "string" },
      report: { type: "string" },
      "scale-um": { type: "string" },
      "body-mm": { type: "string" },
      quantity: { type: "string" },
      flat: { type: "string", multiple: true },
      dark: { type: "string", multiple: true },
      exemplar: { type: "string", multiple: true },
      "exemplar-scale-um": { type: "string" },
      wire: { type: "string" },
      codes: { type: "string" },
      job: { type: "string" },
      tape: { type: "string" },
      "pull-list": { type: "string" },
      "stop-at-first-suspect": { type: "boolean" },
      together: { type: "string" },
      resume: { type: "string" },
      by: { type: "string" },
      because: { type: "string" },
    },
  });
}

function resumeOrder(
  values: ReturnType<typeof parseLot>["values"],
): NonNullable<LotRequest["resume"]> | null {
  const { resume: previous, by, because } = values;
  if (previous === undefined) {
    if (by !== undefined || because !== undefined)
      throw new UsageError("--by and --because go with --resume FILE.json.");
    return null;
  }
  if (!by?.trim() || !because?.trim())
    throw new UsageError("--resume needs --by NAME and --because TEXT: who ordered to go on, and why.");
  if (values["stop-at-first-suspect"])
    throw new UsageError("--resume inspects the whole lot; leave --stop-at-first-suspect out.");
  return { previous, by: by.trim(), because: because.trim() };
}

function positive(name: string, text: string): number {
  const value = Number(text);
  if (!(Number.isFinite(value) && value > 0))
    throw new UsageError(`${name} takes a number above 0, not "${text}".`);
  return value;
}

function whole(name: string, text: string): number {
  const value = positive(name, text);
  if (!Number.isSafeInteger(value)) throw new UsageError(`${name} takes a whole number, not "${text}".`);
  return value;
}

/** Fewer parts could not name a minority among themselves. */
function atLeastEight(text: string): number {
  const parts = whole("--together", text);
  if (parts < 8) throw new UsageError(`--together takes a number of parts, at least 8, not "${text}".`);
  return parts;
}

function pocket(text: string): number {
  if (!/^\d{1,9}$/.test(text))
    throw new UsageError(
      `--tape takes the number of the first pocket, a whole number from 0, not "${text}".`,
    );
  return Number(text);
}

function wireKind(text: string): WireKind {
  const [name, um] = text.split(":");
  const material = wireMaterials.find((known) => known === name);
  if (material === undefined || um === undefined)
    throw new UsageError(
      `--wire takes a material (${wireMaterials.join(", ")}) and a diameter in um, as gold:25, not "${text}".`,
    );
  const diameterUm = positive("--wire", um);
  if (diameterUm > 500) throw new UsageError(`--wire takes a diameter of at most 500 um, not ${diameterUm}.`);
  return { material, diameterUm };
}

function bodySize(text: string): [number, number] {
  const match = /^([\d.]+)\s*[x*]\s*([\d.]+)$/i.exec(text);
  if (!match) throw new UsageError(`--body-mm takes length x width in mm, as 9.9x3.9, not "${text}".`);
  return [positive("--body-mm", match[1] as string), positive("--body-mm", match[2] as string)];
}
