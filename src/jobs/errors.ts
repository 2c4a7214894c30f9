/** A job whose worker ended in the middle of it, as often as it was tried. */
export class JobLostError extends Error {
  readonly code = "jobs/lost";
  override readonly name = "JobLostError";
  readonly tries: number;

  constructor(tries: number, because: string, options?: ErrorOptions) {
    super(
      `The process working on it ended early, ${tries} times in ${tries} tries (${because}); expected a result. Close other programs if memory is short, or reduce the picture.`,
      options,
    );
    this.tries = tries;
  }
}

/** No worker could be started: the work has to be done without. */
export class NoWorkersError extends Error {
  readonly code = "jobs/no-workers";
  override readonly name = "NoWorkersError";

  constructor(because: string, options?: ErrorOptions) {
    super(
      `No worker thread could be started (${because}); expected at least one. Do the work in this thread.`,
      options,
    );
  }
}
