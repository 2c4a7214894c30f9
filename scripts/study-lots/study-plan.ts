import { changeLot } from "../../src/simulate/change-lot.ts";
import type { LotSpec } from "../../src/simulate/lot-spec.ts";
import type { StudyLot } from "../../src/simulate/study-lots.ts";
import { studyLots, studyNullLots } from "../../src/simulate/study-lots.ts";
import { seededRandom } from "../../src/statistics/random.ts";

/** One lot to be drawn and inspected, or a folder of known truth. */
export interface StudyTask {
  readonly id: string;
  readonly series: "fault" | "null" | "independent";
  readonly kind: string;
  readonly package: string;
  readonly seed: number;
  /** Number of parts, where it is not the preset's. */
  readonly parts: number | null;
  /** Pictures and truth that are there already. */
  readonly folder: string | null;
}

/** Sizes of null lots: small ones, which are quickly drawn, and every tenth a usual one. */
const leastParts = 8;
const mostParts = 14;
const usualParts = 24;
const usualEvery = 10;

/**
 * The lots of a study, in an order in which each round has every kind once, in packages that change from round to
 * round. Longer studies begin with the lots of shorter ones.
 */
export function studyPlan(faults: number, nulls: number, seed: number): StudyTask[] {
  const of = (series: "fault" | "null", lots: readonly StudyLot[], count: number): StudyTask[] => {
    const order = rounds(lots);
    return Array.from({ length: count }, (_, i) => {
      const lot = order[i % order.length];
      const lotSeed = seed * 10_000 + i;
      const size = seededRandom(`size ${series} ${lotSeed}`);
      return {
        id: `${series}-${String(i).padStart(4, "0")}`,
        series,
        kind: lot.kind,
        package: lot.package,
        seed: lotSeed,
        parts:
          series === "fault"
            ? null
            : i % usualEvery === 0
              ? usualParts
              : leastParts + size.integer(mostParts - leastParts + 1),
        folder: null,
      };
    });
  };
  return [...of("fault", studyLots, faults), ...of("null", studyNullLots, nulls)];
}

/** What is drawn for a task. */
export function specOf(task: StudyTask): LotSpec {
  const lots = task.series === "null" ? studyNullLots : studyLots;
  const lot = lots.find((one) => one.kind === task.kind && one.package === task.package);
  if (lot === undefined)
    throw new Error(`Expected a study lot ${task.kind} of ${task.package}; there is none.`);
  return task.parts === null ? lot.spec : changeLot(lot.spec, { parts: task.parts });
}

function rounds(lots: readonly StudyLot[]): StudyLot[] {
  const kinds = [...new Set(lots.map((lot) => lot.kind))].map((kind) =>
    lots.filter((lot) => lot.kind === kind),
  );
  const longest = Math.max(...kinds.map((own) => own.length));
  return Array.from({ length: longest }, (_, round) =>
    kinds.flatMap((own, k) => (round < own.length ? [own[(round + k) % own.length]] : [])),
  ).flat();
}
