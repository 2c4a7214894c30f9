import type { MaterialName } from "../../src/physics/material.ts";
import { beamSpectrum } from "../../src/physics/spectrum.ts";
import { transmission } from "../../src/physics/transmission.ts";
import type { Truth } from "../score-lots/truth.ts";
import { distance } from "../score-lots/truth.ts";

type Picture = Truth["images"][number];

/** A wire as the truth knows it. */
export interface WireInBeam {
  /** Share of the signal over the mould that the wire takes at its thickest. */
  readonly relativeContrast: number;
  readonly diameterPx: number;
  readonly lengthPx: number;
  /** Signal over the mould, as a share of the open beam. */
  readonly mouldTransmission: number;
  readonly detector: {
    readonly blurSigmaPx: number;
    readonly openBeamSnr: number;
    readonly openBeamGrey: number;
    readonly electronicNoiseGrey: number;
    readonly greyStep: number;
    /** Blur that correlates the quantum noise. */
    readonly noiseCorrelationPx: number;
    readonly gainSpread: number;
  };
}

/**
 * Contrast-to-noise of a whole wire over mould: of a matched filter along it, sqrt(length x integral p^2 / N0).
 *
 * p is the wire's profile: a chord of standard deviation d/4 blurred by the detector's Gaussian, so that
 * integral p^2 = (contrast x d x pi/4)^2 / (2 sqrt(pi) sigma). N0 is the noise power at the lowest frequencies, per
 * local signal: quantum noise 1/(SNR^2 T) times its correlation area 4 pi s^2 (at least 1), electronics, rounding
 * and uncorrected gain white. What lies under the wire (die, fillet, lead) and how much parts differ is left out, so
 * this is what noise alone would allow.
 */
export function wireContrastToNoise(wire: WireInBeam): number {
  const { relativeContrast, diameterPx, lengthPx, mouldTransmission: t, detector } = wire;
  const sigma = Math.hypot(detector.blurSigmaPx, diameterPx / 4);
  const area = (relativeContrast * diameterPx * Math.PI) / 4;
  const profile = (area * area) / (2 * Math.sqrt(Math.PI) * sigma);
  const grey = t * detector.openBeamGrey;
  const quantum = 1 / (detector.openBeamSnr ** 2 * t);
  const white =
    (detector.electronicNoiseGrey / grey) ** 2 +
    detector.greyStep ** 2 / 12 / grey ** 2 +
    detector.gainSpread ** 2;
  const n0 = quantum * Math.max(1, 4 * Math.PI * detector.noiseCorrelationPx ** 2) + white;
  return Math.sqrt((lengthPx * profile) / n0);
}

/** Contrast-to-noise of every wire of a picture's parts by its two ends, from the truth. */
export function truthContrastToNoise(truth: Truth) {
  const transmissions = new Map<string, number>();
  return (
    picture: Picture,
    construction: string,
    from: readonly [number, number],
    to: readonly [number, number],
  ) => {
    const { body_thickness_mm: mould, wire_diameter_mm: diameter } = truth.constructions[construction] ?? {};
    const { wire } = truth.relative_contrast_over_mould;
    if (mould === undefined || diameter == null || wire === null) return null;
    const key = `${picture.kv}/${JSON.stringify(picture.filter_mm)}/${mould}`;
    const through = transmissions.get(key) ?? mouldTransmission(picture, mould);
    transmissions.set(key, through);
    return wireContrastToNoise({
      relativeContrast: wire,
      diameterPx: diameter / picture.pixel_mm,
      lengthPx: distance(from, to),
      mouldTransmission: through,
      detector: detectorOf(picture.detector),
    });
  };
}

/** Filters by the names of either simulator. */
const filterNames: Readonly<Record<string, MaterialName>> = { Al: "aluminium", Cu: "copper" };

function mouldTransmission({ kv, filter_mm }: Picture, mouldMm: number): number {
  const filterMm = Object.fromEntries(
    Object.entries(filter_mm).map(([name, mm]) => [filterNames[name] ?? name, mm]),
  );
  return transmission(beamSpectrum({ kv, filterMm }), { mould: mouldMm });
}

/** The detector by the names of either simulator. */
function detectorOf(said: Picture["detector"]): WireInBeam["detector"] {
  const number = (names: readonly string[], otherwise?: number): number => {
    const found = names.map((name) => said[name]).find((value) => typeof value === "number");
    if (found === undefined && otherwise === undefined)
      throw new Error(`Expected the truth's detector to say ${names.join(" or ")}. Give a truth that does.`);
    return (found ?? otherwise) as number;
  };
  return {
    blurSigmaPx: number(["blurSigmaPx", "total_gauss_sigma_px"]),
    openBeamSnr: number(["openBeamSnr", "open_beam_snr"]),
    openBeamGrey: number(["openBeamGrey", "open_beam_grey"]),
    electronicNoiseGrey: number(["electronicNoiseGrey", "electronic_noise_grey"]),
    greyStep: number(["greyStep"], 1),
    noiseCorrelationPx: number(["noiseCorrelationPx", "noise_correlation_sigma_px"]),
    gainSpread: number(["gainSpread"], 0),
  };
}
