import type { WireKind } from "../wires/expected-wire.ts";

/** The lot method, as recorded in the result. */
export const lotMethod = { id: "lot", version: "1" } as const;

/** Options of the lot method, as recorded in the result. */
export interface LotOptions {
  /** Object-plane scale typed by a person, um per px. */
  readonly scaleUmPerPx: number | null;
  /** Body size of the package, mm (long side, short side), as a reference length. */
  readonly bodyMm: readonly [length: number, width: number] | null;
  /** Size of the whole lot from which these parts come. */
  readonly quantity: number | null;
  /** Object-plane scale of the exemplars' pictures typed by a person, um per px. */
  readonly exemplarScaleUmPerPx?: number | null;
  /** Bond wires that the parts are meant to have. */
  readonly wire?: WireKind | null;
}

export const defaultLotOptions: LotOptions = {
  scaleUmPerPx: null,
  bodyMm: null,
  quantity: null,
};
