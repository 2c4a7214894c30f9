// Two values into one, along a line.

/** into = first - second, or its size. */
export function differenceLine(first: usize, second: usize, into: usize, count: i32, absolute: bool): void {
  for (let i = 0; i < count; i += 4) {
    const o = <usize>i << 2;
    const value = f32x4.sub(v128.load(first + o), v128.load(second + o));
    v128.store(into + o, absolute ? f32x4.abs(value) : value);
  }
}

/** sum += weight * values. */
export function accumulateLine(sum: usize, values: usize, count: i32, weight: f32): void {
  const weights = f32x4.splat(weight);
  for (let i = 0; i < count; i += 4) {
    const o = <usize>i << 2;
    v128.store(sum + o, f32x4.add(v128.load(sum + o), f32x4.mul(weights, v128.load(values + o))));
  }
}
