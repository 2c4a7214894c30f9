import { describe, expect, it } from "vitest";
import { expectedWire } from "./expected-wire.ts";

describe("expectedWire", () => {
  // 25 um in place of mould compound, 1 - T_wire / T_mould at 60 and 40 keV: computed with xraylib 4.0.0 by a script
  // kept with the project's reference values (narrow beam, one energy).
  it.each([
    ["gold", 0.195516, 0.464652],
    ["copper", 0.0338908, 0.101262],
    ["aluminium", 0.000678875, 0.00170614],
  ] as const)("attenuates as tabulated: %s", (material, hard, soft) => {
    const { attenuation } = expectedWire({ material, diameterUm: 25 }, 20, 0.01, 50);
    const contrast = attenuation.map((a) => 1 - Math.exp(-a));
    // Mould differs a little in composition between the two: a part in twenty, more for aluminium, which it is like.
    const within = material === "aluminium" ? 0.5 : 0.05;
    expect(Math.abs((contrast[0] as number) / hard - 1)).toBeLessThan(within);
    expect(Math.abs((contrast[1] as number) / soft - 1)).toBeLessThan(within);
  });

  it("sees gold where aluminium does not show, and the more the longer and the less the noisier", () => {
    const at = (material: "gold" | "aluminium", noise: number, length: number) =>
      expectedWire({ material, diameterUm: 25 }, 20, noise, length).contrastToNoise[0];
    expect(at("gold", 0.01, 50)).toBeGreaterThan(5);
    expect(at("aluminium", 0.01, 50)).toBeLessThan(1);
    // A matched filter gains by the root of its length.
    expect(at("gold", 0.01, 200) / at("gold", 0.01, 50)).toBeCloseTo(2, 6);
    expect(at("gold", 0.02, 50) / at("gold", 0.01, 50)).toBeCloseTo(0.5, 6);
  });

  it("agrees with a sum over a drawn and blurred wire", () => {
    // Profile of a round wire, 2.5 px thick, blurred by one px, on a grid of 1/50 px: sqrt(L sum p^2 dx) / noise.
    const [diameterPx, lengthPx, noise, step] = [2.5, 80, 0.02, 0.02];
    const { attenuation, contrastToNoise } = expectedWire(
      { material: "gold", diameterUm: 25 },
      25 / diameterPx,
      noise,
      lengthPx,
    );
    let sum = 0;
    for (let x = -10; x < 10; x += step) {
      let blurred = 0;
      for (let u = -diameterPx / 2; u <= diameterPx / 2; u += step) {
        const through = Math.sqrt(Math.max(0, 1 - ((2 * u) / diameterPx) ** 2));
        blurred += (through * Math.exp(-0.5 * (x - u) ** 2) * step) / Math.sqrt(2 * Math.PI);
      }
      sum += (blurred * (attenuation[0] as number)) ** 2 * step;
    }
    const exact = Math.sqrt(lengthPx * sum) / noise;
    expect(Math.abs(contrastToNoise[0] / exact - 1)).toBeLessThan(0.02);
  });

  it("names the diameter at which a wire's absence could just be told", () => {
    const { leastDiameterUm } = expectedWire({ material: "copper", diameterUm: 25 }, 20, 0.02, 40);
    const { contrastToNoise } = expectedWire(
      { material: "copper", diameterUm: leastDiameterUm },
      20,
      0.02,
      40,
    );
    expect(contrastToNoise[0]).toBeCloseTo(5, 6);
  });
});
