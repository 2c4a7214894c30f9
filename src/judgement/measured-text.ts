import type { Measured, NoNumber, Unit } from "../units/measured.ts";

/** A value and its doubt at the precision the doubt allows. `decimals` may be negative (tens, hundreds). */
export interface RoundedValue {
  readonly value: number;
  readonly U: number;
  readonly decimals: number;
}

const mostDecimals = 12;

/**
 * Rounds a value by its own doubt: U keeps two significant digits, the value ends at the same place.
 * A value without doubt (U = 0, a count) keeps six significant digits.
 *
 * @param value finite
 * @param U expanded uncertainty, finite, same unit, not negative
 * @see docs/methods/lot-report.md; two digits of U as in JCGM 100:2008, 7.2.6
 */
export function roundByDoubt(value: number, U: number): RoundedValue {
  if (U === 0) {
    const kept = Number(value.toPrecision(6)) || 0;
    return { value: kept, U: 0, decimals: decimalsOf(kept) };
  }
  const exponent = Number(U.toExponential(1).split("e")[1]);
  const decimals = Math.min(mostDecimals, 1 - exponent);
  return { value: roundAt(value, decimals), U: roundAt(U, decimals), decimals };
}

/** `value` rounded to `decimals` places (negative: tens, hundreds), never minus zero. */
export function roundAt(value: number, decimals: number): number {
  if (decimals >= 0) return Number(value.toFixed(decimals)) || 0;
  const step = 10 ** -decimals;
  return Math.round(value / step) * step || 0;
}

/** A measured quantity with its numbers rounded by its doubt. One without a number is returned as it is. */
export function roundMeasured(measured: Measured): Measured {
  if (measured.value === null) return measured;
  const { value, U } = roundByDoubt(measured.value, measured.U);
  return { ...measured, value, U };
}

/** The number alone: `2.134 ± 0.012`, or the reason there is none. */
export function measuredNumberText(measured: Measured): string {
  if (measured.value === null) return noNumberText(measured.because);
  const { value, U, decimals } = roundByDoubt(measured.value, measured.U);
  const shown = Math.max(0, decimals);
  return U === 0 ? value.toFixed(shown) : `${value.toFixed(shown)} ± ${U.toFixed(shown)}`;
}

/** Number and unit: `2.134 ± 0.012 mm`, or the reason there is no number. */
export function measuredText(measured: Measured): string {
  const number = measuredNumberText(measured);
  const unit = unitText(measured.unit);
  return measured.value === null || unit === "" ? number : `${number} ${unit}`;
}

/** A size without its doubt, for "no difference above X": `0.04 mm`. Two significant digits. */
export function sizeText(measured: Measured): string {
  if (measured.value === null) return noNumberText(measured.because);
  const kept = Number(measured.value.toPrecision(2)) || 0;
  const unit = unitText(measured.unit);
  return unit === "" ? plainNumber(kept) : `${plainNumber(kept)} ${unit}`;
}

/** The unit as printed; a ratio or a count has none. */
export function unitText(unit: Unit): string {
  const texts: Record<Unit, string> = { px: "px", mm: "mm", um: "µm", deg: "°", "1": "", percent: "%" };
  return texts[unit];
}

/** Why there is no number, in words. */
export function noNumberText(because: NoNumber): string {
  const texts: Record<NoNumber, string> = {
    "no-scale": "no scale",
    saturated: "saturated",
    "not-visible": "not visible",
    "not-present": "not present",
    "not-assessed": "not assessed",
    "out-of-field": "out of field",
    perspective: "perspective",
    "too-few": "too few",
  };
  return texts[because];
}

/** `dieOffsetX` as words: `die offset x`. Text that is words already stays as it is. */
export function characteristicText(name: string): string {
  if (name.includes(" ")) return name;
  return name.replace(/([a-z0-9])([A-Z])/g, "$1 $2").toLowerCase();
}

function plainNumber(value: number): string {
  return value.toFixed(Math.max(0, decimalsOf(value)));
}

function decimalsOf(value: number): number {
  for (let decimals = 0; decimals < mostDecimals; decimals++) {
    if (Number(value.toFixed(decimals)) === value) return decimals;
  }
  return mostDecimals;
}
