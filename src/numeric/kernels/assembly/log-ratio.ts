// ln(reference / max(signal - dark, floor)) per value, four at a time.

// Natural logarithm of four positive normal numbers: x = 2^e m with m in sqrt(1/2)..sqrt(2), then the series of
// 2 artanh(s), s = (m - 1) / (m + 1), |s| < 0.1716: the first term left out is below 2^-36 of the result.
@inline
function logarithm(x: v128): v128 {
  const one = f32x4.splat(1);
  const shifted = i32x4.sub(x, i32x4.splat(0x3f3504f3)); // bits of sqrt(1/2)
  const exponent = i32x4.shr_s(shifted, 23);
  const m = i32x4.sub(x, i32x4.shl(exponent, 23));
  const s = f32x4.div(f32x4.sub(m, one), f32x4.add(m, one));
  const z = f32x4.mul(s, s);
  let series = f32x4.splat(2.0 / 9.0);
  series = f32x4.add(f32x4.mul(series, z), f32x4.splat(2.0 / 7.0));
  series = f32x4.add(f32x4.mul(series, z), f32x4.splat(2.0 / 5.0));
  series = f32x4.add(f32x4.mul(series, z), f32x4.splat(2.0 / 3.0));
  const e = f32x4.convert_i32x4_s(exponent);
  const tail = f32x4.mul(f32x4.mul(s, z), series);
  // ln 2 in two parts, the first with few enough bits that e times it is exact.
  const low = f32x4.add(tail, f32x4.mul(e, f32x4.splat(-2.12194440e-4)));
  return f32x4.add(f32x4.mul(e, f32x4.splat(0.693359375)), f32x4.add(f32x4.add(s, s), low));
}

/** Values in place: `signal` becomes the logarithm. `dark` and `reference` are bands of the same length. */
export function logRatioBand(signal: usize, dark: usize, reference: usize, count: i32, floor: f32): void {
  const least = f32x4.splat(floor);
  for (let i = 0; i < count; i += 4) {
    const o = <usize>i << 2;
    const value = f32x4.pmax(least, f32x4.sub(v128.load(signal + o), v128.load(dark + o)));
    v128.store(signal + o, logarithm(f32x4.div(v128.load(reference + o), value)));
  }
}
