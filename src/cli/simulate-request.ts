import { parseArgs } from "node:util";
import type { LotChanges } from "../simulate/change-lot.ts";
import { UsageError } from "./errors.ts";

/** What `candler simulate` was asked. */
export type SimulateRequest =
  | { readonly kind: "list" }
  | ({ readonly kind: "draw" | "training"; readonly into: string } & SimulatedLot)
  | ({ readonly kind: "performance"; readonly lots: number; readonly json: string } & SimulatedLot)
  | { readonly kind: "mark"; readonly answers: string; readonly truth: string };

/** Which lot to draw. */
interface SimulatedLot {
  readonly preset: string;
  readonly seed: number;
  readonly changes: LotChanges;
}

/** @throws UsageError when the arguments belong to no way of use, or a value cannot be followed */
export function parseSimulateRequest(args: readonly string[]): SimulateRequest {
  let parsed: ReturnType<typeof parseSimulate>;
  try {
    parsed = parseSimulate(args);
  } catch (error) {
    throw new UsageError(error instanceof Error ? error.message : String(error), { cause: error });
  }
  const { values, positionals } = parsed;
  const { into, lots, performance: json, training, mark, truth } = values;
  if (values.list) return only(positionals.length === 0, { kind: "list" });
  if (mark !== undefined || truth !== undefined) {
    if (mark === undefined || truth === undefined || positionals.length)
      throw new UsageError(`--mark and --truth belong together, without a preset.`);
    return { kind: "mark", answers: mark, truth };
  }
  const [preset, ...more] = positionals;
  if (preset === undefined || more.length) throw new UsageError(`One preset is needed; --list shows them.`);
  if (values.seed === undefined)
    throw new UsageError(`--seed N is needed: the same seed draws the same pictures.`);
  const lot = { preset, seed: whole("--seed", values.seed, 0), changes: changesOf(values) };
  if (json !== undefined || lots !== undefined) {
    if (json === undefined || lots === undefined || into !== undefined || training)
      throw new UsageError(`--performance goes with --lots, without --into and --training.`);
    return { kind: "performance", lots: whole("--lots", lots, 1), json, ...lot };
  }
  if (into === undefined) throw new UsageError(`--into DIR is needed, or --lots and --performance.`);
  return { kind: training ? "training" : "draw", into, ...lot };
}

function parseSimulate(args: readonly string[]) {
  return parseArgs({
    args: [...args],
    allowPositionals: true,
    options: {
      list: { type: "boolean", default: false },
      seed: { type: "string" },
      into: { type: "string" },
      training: { type: "boolean", default: false },
      lots: { type: "string" },
      performance: { type: "string" },
      mark: { type: "string" },
      truth: { type: "string" },
      parts: { type: "string" },
      kv: { type: "string" },
      "um-per-px": { type: "string" },
      snr: { type: "string" },
    },
  });
}

function changesOf(values: ReturnType<typeof parseSimulate>["values"]): LotChanges {
  const { parts, kv, snr } = values;
  const umPerPx = values["um-per-px"];
  return {
    ...(parts === undefined ? {} : { parts: whole("--parts", parts, 1) }),
    ...(kv === undefined ? {} : { kv: positive("--kv", kv) }),
    ...(umPerPx === undefined ? {} : { umPerPx: positive("--um-per-px", umPerPx) }),
    ...(snr === undefined ? {} : { openBeamSnr: positive("--snr", snr) }),
  };
}

function only<T>(alone: boolean, request: T): T {
  if (!alone) throw new UsageError(`--list stands alone.`);
  return request;
}

function positive(name: string, text: string): number {
  const value = Number(text);
  if (!(text.trim() !== "" && Number.isFinite(value) && value > 0))
    throw new UsageError(`${name} takes a number above 0, not "${text}".`);
  return value;
}

function whole(name: string, text: string, least: number): number {
  const value = Number(text);
  if (!/^\d+$/.test(text.trim()) || !Number.isSafeInteger(value) || value < least)
    throw new UsageError(`${name} takes a whole number from ${least} on, not "${text}".`);
  return value;
}
