import { dirname, isAbsolute, join } from "node:path";
import { JobFileError } from "../contract/errors.ts";
import type { JobFile } from "../contract/job-file.ts";
import { readJobFile } from "../contract/job-file.ts";
import type { LotOptions } from "../inspections/lot/options.ts";
import { UsageError } from "./errors.ts";
import { readTextFile } from "./read-text-file.ts";

/** What the command line says that a job file may say too; null where it does not. */
export interface SaidTwice {
  readonly options: LotOptions;
  readonly codes: string | null;
  readonly exemplars: readonly string[];
}

/** Command line and job file together, and where the command line said otherwise. */
export interface WithJob extends SaidTwice {
  readonly job: JobFile;
  readonly overruled: readonly string[];
}

/**
 * Reads a job file and fills in what the command line leaves open. The command line wins. Paths in the job file are
 * from its folder.
 *
 * @throws UsageError when the file cannot be followed, with the reason
 */
export function readJob(path: string, said: SaidTwice): WithJob {
  const job = parsed(path);
  const overruled: string[] = [];
  const won = <T>(name: string, here: T | null, inJob: T | null): T | null => {
    if (here === null) return inJob;
    if (inJob !== null && String(here) !== String(inJob))
      overruled.push(
        `${name}: ${here} on the command line, ${inJob} in the job file; the command line holds.`,
      );
    return here;
  };
  const beside = (name: string) => (isAbsolute(name) ? name : join(dirname(path), name));
  const ofJob = (job.exemplars ?? []).map(({ picture }) => beside(picture));
  const exemplars = won(
    "exemplars",
    said.exemplars.length ? said.exemplars : null,
    ofJob.length ? ofJob : null,
  );
  return {
    job,
    options: { ...said.options, quantity: won("quantity", said.options.quantity, job.quantity ?? null) },
    codes: won("codes", said.codes, job.codes === undefined ? null : beside(job.codes)),
    exemplars: exemplars ?? [],
    overruled,
  };
}

function parsed(path: string): JobFile {
  try {
    return readJobFile(readTextFile(path, "a job file"), path);
  } catch (error) {
    if (error instanceof JobFileError) throw new UsageError(error.message, { cause: error });
    throw error;
  }
}
