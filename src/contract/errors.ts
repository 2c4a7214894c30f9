/** A number that is not finite reached the document: a defect of the stage that made it, never written out. */
export class NotFiniteError extends Error {
  readonly code = "contract-not-finite";
  /** Where in the document, as `parts[3].measurements.dieLength.value`. */
  readonly path: string;
  readonly received: number;

  constructor(path: string, received: number) {
    super(
      `Expected a finite number at ${path}, got ${received}. ` +
        "A quantity without a number must say why (value null and because); report this as a defect of the method.",
    );
    this.name = "NotFiniteError";
    this.path = path;
    this.received = received;
  }
}

/** A job file that cannot be followed. */
export class JobFileError extends Error {
  readonly code = "contract/job-file";
  /** Name of the file as given. */
  readonly file: string;
  override readonly name = "JobFileError";

  constructor(says: string, { file, cause }: { file: string; cause?: unknown }) {
    super(`Expected a job file (candler.job/1) in ${file}: ${says}. Correct the file and run again.`, {
      cause,
    });
    this.file = file;
  }
}

/** A table of codes that cannot be followed. */
export class CodesTableError extends Error {
  readonly code = "contract/codes-table";
  /** Row of the table, 1 the head; null when the whole table is meant. */
  readonly row: number | null;
  override readonly name = "CodesTableError";

  constructor(says: string, { row = null, cause }: { row?: number | null; cause?: unknown } = {}) {
    super(`The codes table cannot be used${row === null ? "" : ` (row ${row})`}: ${says}`, { cause });
    this.row = row;
  }
}

/** An inspection that cannot be gone on with. */
export class ResumeError extends Error {
  readonly code = "contract/resume";
  override readonly name = "ResumeError";
}
