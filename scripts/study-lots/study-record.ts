import type { LotOutcome } from "../../src/simulate/lot-outcome.ts";
import type { StudyTask } from "./study-plan.ts";
import type { WirePresence } from "./wire-presence.ts";

/** A length of a die against its truth, px. */
export interface StudiedLength {
  readonly truePx: number;
  readonly errorPx: number;
  /** U, k = 2. */
  readonly expandedPx: number;
}

/** What one lot of a study gave: one line of results.jsonl. */
export interface StudyRecord {
  readonly task: StudyTask;
  readonly conclusion: string;
  readonly outcome: LotOutcome;
  readonly wires: readonly WirePresence[];
  readonly dieLength: readonly StudiedLength[];
  readonly dieWidth: readonly StudiedLength[];
  readonly dies: number;
  /** Processor time. */
  readonly renderSeconds: number;
  readonly inspectSeconds: number;
}

/** A lot whose run ended without a result. */
export interface StudyFailure {
  readonly task: StudyTask;
  readonly failed: string;
}
