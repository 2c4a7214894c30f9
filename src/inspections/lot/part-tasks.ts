import { lookInFrame, measureInFrame } from "./measuring/measure-in-frame.ts";
import { fallIn } from "./placing/fall-in.ts";
import { layPart } from "./placing/lay-part.ts";

/**
 * What is done to each part alone, given what all parts share: pure, so that it may be done anywhere and in any
 * order, and arguments and results are plain data that can be sent there.
 */
export const partTasks = {
  lay: layPart,
  look: lookInFrame,
  measure: measureInFrame,
  settle: fallIn,
} as const;

export type PartTasks = typeof partTasks;
export type SharedBy<K extends keyof PartTasks> = Parameters<PartTasks[K]>[0];
export type ItemOf<K extends keyof PartTasks> = Parameters<PartTasks[K]>[1];
export type ResultOf<K extends keyof PartTasks> = ReturnType<PartTasks[K]>;

/** Who does the work of a lot. */
export interface LotWork {
  /** Pictures that may be looked at together: each takes the memory of a picture. */
  readonly picturesAtOnce: number;
  /**
   * Does a task on every item.
   *
   * @param onDone called with how many items are done
   * @returns one result per item, in the order of the items
   */
  each<K extends keyof PartTasks>(
    task: K,
    shared: SharedBy<K>,
    items: readonly ItemOf<K>[],
    onDone?: (done: number) => void,
  ): Promise<ResultOf<K>[]>;
}

/** Everything here and in turn. */
export const workHere: LotWork = {
  picturesAtOnce: 1,
  each: async (task, shared, items, onDone = () => {}) =>
    items.map((item, i) => {
      const result = doPartTask(task, shared, item);
      onDone(i + 1);
      return result;
    }),
};

export function doPartTask<K extends keyof PartTasks>(
  task: K,
  shared: SharedBy<K>,
  item: ItemOf<K>,
): ResultOf<K> {
  const run = partTasks[task] as (shared: SharedBy<K>, item: ItemOf<K>) => ResultOf<K>;
  return run(shared, item);
}
