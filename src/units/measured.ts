/** Why a quantity has no number. */
export type NoNumber =
  | "no-scale"
  | "saturated"
  | "not-visible"
  | "not-present"
  | "not-assessed"
  | "out-of-field"
  | "perspective"
  | "too-few";

/** Unit of a measured quantity. `1` is a ratio. */
export type Unit = "px" | "mm" | "um" | "deg" | "1" | "percent";

/**
 * A quantity with its doubt. `U` is the expanded uncertainty (coverage factor `k`, normally 2);
 * without a number, `because` says why.
 */
export type Measured =
  | {
      readonly value: number;
      readonly U: number;
      readonly k: number;
      readonly unit: Unit;
      readonly note?: string;
    }
  | { readonly value: null; readonly unit: Unit; readonly because: NoNumber };

/** A measured value from its standard uncertainty `u`. */
export function measured(value: number, u: number, unit: Unit, note?: string): Measured {
  return note === undefined ? { value, U: 2 * u, k: 2, unit } : { value, U: 2 * u, k: 2, unit, note };
}

/** The absence of a number, with its reason. */
export function notMeasured(unit: Unit, because: NoNumber): Measured {
  return { value: null, unit, because };
}
