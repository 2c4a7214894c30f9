import { linearAttenuationPerMm } from "../../physics/attenuation.ts";
import { leastContrastToNoise } from "./wire-state.ts";

/** Materials of bond wires. */
export const wireMaterials = ["gold", "copper", "silver", "aluminium"] as const;

/** A bond wire as it is meant to be. */
export interface WireKind {
  readonly material: (typeof wireMaterials)[number];
  readonly diameterUm: number;
}

/** How a wire would show over even mould. */
export interface ExpectedWire {
  /** Attenuation over that of the mould it takes the place of, through its middle, at the two energies. */
  readonly attenuation: readonly [hard: number, soft: number];
  /** Contrast-to-noise along it by noise alone. */
  readonly contrastToNoise: readonly [hard: number, soft: number];
  /** Diameter of such a wire whose absence could just be told at the harder energy. */
  readonly leastDiameterUm: number;
}

/** Mean energies that stand for the filtered beams of component work, 70 to 110 kV (common practice). */
export const [hardKev, softKev] = [60, 40] as const;
/** Unsharpness of a sharp picture, standard deviation in px. */
const blurPx = 1;
/** Thickest bond wires (power parts, common practice). */
const thickestUm = 500;

/**
 * How a bond wire would show in a picture: a round wire in place of mould, blurred, against the noise of single pixels,
 * by a matched filter along `lengthPx` of it. What lies beneath (lead frame, die, sway) comes on top.
 *
 * @param umPerPx scale in the object plane
 * @param openNoise standard deviation of attenuation noise of one pixel
 */
export function expectedWire(
  wire: WireKind,
  umPerPx: number,
  openNoise: number,
  lengthPx: number,
): ExpectedWire {
  const cnr = (diameterUm: number, kev: number) =>
    alongWire({ ...wire, diameterUm }, kev, umPerPx, lengthPx) / openNoise;
  let [low, high] = [0.1, thickestUm];
  for (let round = 0; round < 40; round++) {
    const middle = (low + high) / 2;
    if (cnr(middle, hardKev) < leastContrastToNoise) low = middle;
    else high = middle;
  }
  return {
    attenuation: [overMould(wire, hardKev), overMould(wire, softKev)],
    contrastToNoise: [cnr(wire.diameterUm, hardKev), cnr(wire.diameterUm, softKev)],
    leastDiameterUm: high,
  };
}

function overMould({ material, diameterUm }: WireKind, kev: number): number {
  const perMm = linearAttenuationPerMm(material, kev) - linearAttenuationPerMm("mould", kev);
  return (perMm * diameterUm) / 1000;
}

/** Root of the energy of a wire's blurred profile over a length: contrast-to-noise at unit noise. */
function alongWire(wire: WireKind, kev: number, umPerPx: number, lengthPx: number): number {
  const diameterPx = wire.diameterUm / umPerPx;
  // Attenuation summed across the wire: its middle's times pi/4 of its diameter.
  const across = (overMould(wire, kev) * Math.PI * diameterPx) / 4;
  // A round wire's profile has a standard deviation of a quarter of its diameter.
  const sigmaPx = Math.hypot(blurPx, diameterPx / 4);
  return across * Math.sqrt(lengthPx / (2 * Math.sqrt(Math.PI) * sigmaPx));
}
