/** A material or element that the attenuation data does not hold. */
export class UnknownMaterialError extends Error {
  readonly code = "physics/unknown-material";
  readonly material: string;
  constructor(material: string, known: readonly string[]) {
    super(
      `expected a material among ${known.join(", ")}; got "${material}". Add it to src/physics/material.ts.`,
    );
    this.name = "UnknownMaterialError";
    this.material = material;
  }
}

/** A photon energy or tube voltage outside the tabulated range. */
export class EnergyRangeError extends Error {
  readonly code = "physics/energy-range";
  readonly kev: number;
  constructor(kev: number, lowKev: number, highKev: number) {
    super(
      `expected ${lowKev}-${highKev} keV; got ${kev}. Choose an energy (or tube voltage) inside the table.`,
    );
    this.name = "EnergyRangeError";
    this.kev = kev;
  }
}
