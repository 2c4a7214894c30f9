/** A lot specification that cannot be simulated. */
export class LotSpecError extends Error {
  readonly code = "simulate/lot-spec";
  readonly field: string;
  constructor(field: string, expected: string, got: string) {
    super(`expected ${field} to be ${expected}; got ${got}. Change the lot specification.`);
    this.name = "LotSpecError";
    this.field = field;
  }
}
