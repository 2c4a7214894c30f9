import { UnreadablePictureError } from "../formats/errors.ts";
import { defaultLimits } from "../formats/limits.ts";
import type { LookRequest, PictureLook } from "../inspections/lot/finding/look-at-picture.ts";
import { lookAtPicture } from "../inspections/lot/finding/look-at-picture.ts";
import type { ItemOf, PartTasks, SharedBy } from "../inspections/lot/part-tasks.ts";
import { doPartTask } from "../inspections/lot/part-tasks.ts";
import type { Scale } from "../radiograph/radiograph.ts";
import type { PairedPicture } from "./calibration-frames.ts";
import { maxPixels, radiographLoader } from "./load-radiograph.ts";

/** Reading a picture and looking at it. */
export interface LookJob {
  readonly kind: "look";
  readonly paired: PairedPicture;
  readonly request: LookRequest;
  /** True while no other picture is being looked at: it may then take all the memory there is for pictures. */
  readonly alone: boolean;
}

/** A task on one part. */
export interface PartJob<K extends keyof PartTasks = keyof PartTasks> {
  readonly kind: "part";
  readonly task: K;
  readonly shared: SharedBy<K>;
  readonly item: ItemOf<K>;
}

export type LotJob = LookJob | PartJob;

/** What every worker of a lot is told at its start. */
export interface LotWorkerData {
  readonly scale: Scale;
  readonly picturesAtOnce: number;
}

/** The answer to a picture that is larger than what one of several at once may be. */
export const onlyAlone = "only-alone";

/** Does the jobs of a lot. Pictures looked at together share the memory that one alone may take. */
export function lotJobs({ scale, picturesAtOnce }: LotWorkerData): (job: LotJob) => unknown {
  const loadAlone = radiographLoader(scale);
  const limitsOf = (share: number) => ({
    maxPixels: Math.floor(maxPixels / share),
    maxMemoryBytes: Math.floor(defaultLimits.maxMemoryBytes / share),
  });
  const loadBeside = radiographLoader(scale, limitsOf(picturesAtOnce));
  // Calibration frames lie in memory beside the picture.
  const loadFramed = radiographLoader(scale, limitsOf(2 * picturesAtOnce));
  const look = async ({ paired, request, alone }: LookJob): Promise<PictureLook | typeof onlyAlone> => {
    const framed = paired.flats.length + paired.darks.length > 0;
    const load = alone ? loadAlone : framed ? loadFramed : loadBeside;
    try {
      return lookAtPicture(await load(paired, request.lotPolarity), request);
    } catch (error) {
      if (!alone && error instanceof UnreadablePictureError && error.code === "too-large") return onlyAlone;
      throw error;
    }
  };
  return (job) => (job.kind === "look" ? look(job) : doPartTask(job.task, job.shared, job.item));
}
