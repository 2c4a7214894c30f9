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
