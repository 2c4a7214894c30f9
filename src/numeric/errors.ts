/** Arrays or images whose sizes do not fit together, or a size an operation cannot take. */
export class ShapeError extends Error {
  readonly code = "numeric-shape";
  readonly expected: string;
  readonly received: string;

  constructor(expected: string, received: string, next = "Pass arrays of the stated size.") {
    super(`Expected ${expected}, received ${received}. ${next}`);
    this.name = "ShapeError";
    this.expected = expected;
    this.received = received;
  }
}

/** An argument outside the range for which the operation has a meaning. */
export class RangeOfArgumentError extends Error {
  readonly code = "numeric-argument";
  readonly argument: string;
  readonly expected: string;
  readonly received: string;

  constructor(argument: string, expected: string, received: unknown) {
    super(
      `Expected ${argument} to be ${expected}, received ${String(received)}. Change ${argument} and call again.`,
    );
    this.name = "RangeOfArgumentError";
    this.argument = argument;
    this.expected = expected;
    this.received = String(received);
  }
}

/** Equations that have no single solution (singular or not positive definite). */
export class SingularError extends Error {
  readonly code = "numeric-singular";
  readonly order: number;
  readonly pivot: number;

  constructor(order: number, pivot: number) {
    super(
      `Expected ${order} independent equations, received a matrix whose pivot ${pivot} vanishes. ` +
        "Give more or better spread data, or fewer unknowns.",
    );
    this.name = "SingularError";
    this.order = order;
    this.pivot = pivot;
  }
}
