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

/** An answer sheet that cannot be marked. */
export class AnswersError extends Error {
  readonly code = "simulate/answers";
  constructor(expected: string, got: string) {
    super(`expected ${expected}; got ${got}. Change the answer sheet, or give the truth it belongs to.`);
    this.name = "AnswersError";
  }
}
