/** Why a readable picture can't be measured on. */
export type NotAMeasuringPictureCode =
  | "radiograph/colour"
  | "radiograph/palette"
  | "radiograph/constant"
  | "radiograph/saturated"
  | "radiograph/beam-off"
  | "radiograph/too-small"
  | "radiograph/no-numbers";

/** The picture was read, but no measurement on it would mean anything. */
export class NotAMeasuringPictureError extends Error {
  override readonly name = "NotAMeasuringPictureError";
  readonly code: NotAMeasuringPictureCode;
  readonly expected: string;
  readonly received: string;
  readonly nextStep: string;

  constructor(code: NotAMeasuringPictureCode, expected: string, received: string, nextStep: string) {
    super(`Expected ${expected}, received ${received}. ${nextStep}`);
    this.code = code;
    this.expected = expected;
    this.received = received;
    this.nextStep = nextStep;
  }
}

/** Two frames that belong together (picture, flat, dark) don't. */
export class CalibrationFrameError extends Error {
  override readonly name = "CalibrationFrameError";
  readonly code:
    | "radiograph/frame-size"
    | "radiograph/frame-not-grey"
    | "radiograph/frame-dark"
    | "radiograph/no-frames";
  readonly expected: string;
  readonly received: string;
  readonly nextStep: string;

  constructor(code: CalibrationFrameError["code"], expected: string, received: string, nextStep: string) {
    super(`Expected ${expected}, received ${received}. ${nextStep}`);
    this.code = code;
    this.expected = expected;
    this.received = received;
    this.nextStep = nextStep;
  }
}

/** A scale that can't be one. */
export class ScaleError extends Error {
  override readonly name = "ScaleError";
  readonly code = "radiograph/scale";
  readonly expected: string;
  readonly received: string;
  readonly nextStep: string;

  constructor(expected: string, received: string, nextStep: string) {
    super(`Expected ${expected}, received ${received}. ${nextStep}`);
    this.expected = expected;
    this.received = received;
    this.nextStep = nextStep;
  }
}
