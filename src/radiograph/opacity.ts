/**
 * Opacity 1 - exp(-a), the share of the beam that attenuation `a` takes away, by plain arithmetic in fixed order, so
 * that every machine gives the same bits (`Math.exp` is left to the engine by the language standard).
 *
 * exp(-a) is the 64th power of exp(-a/64), whose series of six terms is off by less than 1e-9 for |a| up to 10.
 *
 * @param attenuation any number; NaN gives NaN
 */
export function opacity(attenuation: number): number {
  const x = -attenuation / 64;
  let power = 1 + x * (1 + (x / 2) * (1 + (x / 3) * (1 + (x / 4) * (1 + (x / 5) * (1 + x / 6)))));
  for (let k = 0; k < 6; k++) power *= power;
  return 1 - power;
}
