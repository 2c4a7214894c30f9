// Fourier transform of a complex picture, eight columns or eight rows at a time: they are gathered side by side into a
// strip of n lines of eight values, transformed there with the same steps for all, and put back.

/** (re, im)[q] times (wr, wi), then sum and difference with [p]. */
@inline
function butterfly(re: usize, im: usize, p: usize, q: usize, wr: v128, wi: v128): void {
  const qr = v128.load(re + q);
  const qi = v128.load(im + q);
  const tr = f32x4.sub(f32x4.mul(qr, wr), f32x4.mul(qi, wi));
  const ti = f32x4.add(f32x4.mul(qr, wi), f32x4.mul(qi, wr));
  const pr = v128.load(re + p);
  const pi = v128.load(im + p);
  v128.store(re + q, f32x4.sub(pr, tr));
  v128.store(im + q, f32x4.sub(pi, ti));
  v128.store(re + p, f32x4.add(pr, tr));
  v128.store(im + p, f32x4.add(pi, ti));
}

/** Two radix-2 steps of sizes 2 * half and 4 * half in one pass over memory. */
@inline
function twoSteps(re: usize, im: usize, n: i32, half: i32, twiddles: usize, sign: f32): void {
  const step = n / (2 * half);
  for (let j = 0; j < half; j++) {
    const first = twiddles + (<usize>(j * step) << 3);
    const w1r = f32x4.splat(load<f32>(first));
    const w1i = f32x4.splat(sign * load<f32>(first, 4));
    const second = twiddles + (<usize>((j * step) >> 1) << 3);
    const w2r = f32x4.splat(load<f32>(second));
    const w2i = f32x4.splat(sign * load<f32>(second, 4));
    const third = twiddles + (<usize>(((j + half) * step) >> 1) << 3);
    const w3r = f32x4.splat(load<f32>(third));
    const w3i = f32x4.splat(sign * load<f32>(third, 4));
    for (let start = j; start < n; start += 4 * half) {
      for (let lane: usize = 0; lane < 32; lane += 16) {
        const a = (<usize>start << 5) + lane;
        const b = (<usize>(start + half) << 5) + lane;
        const c = (<usize>(start + 2 * half) << 5) + lane;
        const d = (<usize>(start + 3 * half) << 5) + lane;
        const br = v128.load(re + b);
        const bi = v128.load(im + b);
        const dr = v128.load(re + d);
        const di = v128.load(im + d);
        const tbr = f32x4.sub(f32x4.mul(br, w1r), f32x4.mul(bi, w1i));
        const tbi = f32x4.add(f32x4.mul(br, w1i), f32x4.mul(bi, w1r));
        const tdr = f32x4.sub(f32x4.mul(dr, w1r), f32x4.mul(di, w1i));
        const tdi = f32x4.add(f32x4.mul(dr, w1i), f32x4.mul(di, w1r));
        const ar = v128.load(re + a);
        const ai = v128.load(im + a);
        const cr = v128.load(re + c);
        const ci = v128.load(im + c);
        const a1r = f32x4.add(ar, tbr);
        const a1i = f32x4.add(ai, tbi);
        const b1r = f32x4.sub(ar, tbr);
        const b1i = f32x4.sub(ai, tbi);
        const c1r = f32x4.add(cr, tdr);
        const c1i = f32x4.add(ci, tdi);
        const d1r = f32x4.sub(cr, tdr);
        const d1i = f32x4.sub(ci, tdi);
        const tcr = f32x4.sub(f32x4.mul(c1r, w2r), f32x4.mul(c1i, w2i));
        const tci = f32x4.add(f32x4.mul(c1r, w2i), f32x4.mul(c1i, w2r));
        const ter = f32x4.sub(f32x4.mul(d1r, w3r), f32x4.mul(d1i, w3i));
        const tei = f32x4.add(f32x4.mul(d1r, w3i), f32x4.mul(d1i, w3r));
        v128.store(re + a, f32x4.add(a1r, tcr));
        v128.store(im + a, f32x4.add(a1i, tci));
        v128.store(re + c, f32x4.sub(a1r, tcr));
        v128.store(im + c, f32x4.sub(a1i, tci));
        v128.store(re + b, f32x4.add(b1r, ter));
        v128.store(im + b, f32x4.add(b1i, tei));
        v128.store(re + d, f32x4.sub(b1r, ter));
        v128.store(im + d, f32x4.sub(b1i, tei));
      }
    }
  }
}

/** First two steps, whose factors are 1, -1 and (for the odd half) sign * i: no multiplications. */
@inline
function firstSteps(re: usize, im: usize, n: i32, sign: f32): void {
  const signs = f32x4.splat(sign);
  const end = <usize>n << 5;
  for (let start: usize = 0; start < end; start += 128) {
    for (let lane: usize = 0; lane < 32; lane += 16) {
      const p = re + start + lane;
      const q = im + start + lane;
      const ar = v128.load(p);
      const br = v128.load(p, 32);
      const cr = v128.load(p, 64);
      const dr = v128.load(p, 96);
      const ai = v128.load(q);
      const bi = v128.load(q, 32);
      const ci = v128.load(q, 64);
      const di = v128.load(q, 96);
      const sumR = f32x4.add(ar, br);
      const sumI = f32x4.add(ai, bi);
      const lessR = f32x4.sub(ar, br);
      const lessI = f32x4.sub(ai, bi);
      const otherR = f32x4.add(cr, dr);
      const otherI = f32x4.add(ci, di);
      const turnedR = f32x4.mul(signs, f32x4.sub(di, ci));
      const turnedI = f32x4.mul(signs, f32x4.sub(cr, dr));
      v128.store(p, f32x4.add(sumR, otherR));
      v128.store(p, f32x4.add(lessR, turnedR), 32);
      v128.store(p, f32x4.sub(sumR, otherR), 64);
      v128.store(p, f32x4.sub(lessR, turnedR), 96);
      v128.store(q, f32x4.add(sumI, otherI));
      v128.store(q, f32x4.add(lessI, turnedI), 32);
      v128.store(q, f32x4.sub(sumI, otherI), 64);
      v128.store(q, f32x4.sub(lessI, turnedI), 96);
    }
  }
}

/** All steps over a strip of `n` lines (8 or more) in bit-reversed order. */
function transformStrip(re: usize, im: usize, n: i32, twiddles: usize, sign: f32): void {
  firstSteps(re, im, n, sign);
  let half = 4;
  for (; 4 * half <= n; half *= 4) twoSteps(re, im, n, half, twiddles, sign);
  if (2 * half > n) return;
  for (let j = 0; j < half; j++) {
    const w = twiddles + (<usize>j << 3);
    const wr = f32x4.splat(load<f32>(w));
    const wi = f32x4.splat(sign * load<f32>(w, 4));
    const p = <usize>j << 5;
    const q = <usize>(j + half) << 5;
    butterfly(re, im, p, q, wr, wi);
    butterfly(re, im, p + 16, q + 16, wr, wi);
  }
}

/**
 * @param re, im `n` rows of `width` values, `width` a multiple of 8; transformed in place
 * @param reversed bit-reversed index of each row (i32)
 * @param twiddles cos, sin of 2 pi k / n, k = 0..n/2 - 1 (f32 pairs)
 * @param strip scratch for 2 * n * 8 values
 */
export function fourierColumns(
  re: usize, im: usize, n: i32, width: i32, reversed: usize, twiddles: usize, sign: f32, scale: f32, strip: usize,
): void {
  const rowBytes = <usize>width << 2;
  const stripIm = strip + (<usize>n << 5);
  const scales = f32x4.splat(scale);
  for (let x = 0; x < width; x += 8) {
    const o = <usize>x << 2;
    for (let y = 0; y < n; y++) {
      const from = <usize>load<i32>(reversed + (<usize>y << 2)) * rowBytes + o;
      const to = <usize>y << 5;
      v128.store(strip + to, v128.load(re + from));
      v128.store(strip + to, v128.load(re + from, 16), 16);
      v128.store(stripIm + to, v128.load(im + from));
      v128.store(stripIm + to, v128.load(im + from, 16), 16);
    }
    transformStrip(strip, stripIm, n, twiddles, sign);
    for (let y = 0; y < n; y++) {
      const to = <usize>y * rowBytes + o;
      const from = <usize>y << 5;
      v128.store(re + to, f32x4.mul(v128.load(strip + from), scales));
      v128.store(re + to, f32x4.mul(v128.load(strip + from, 16), scales), 16);
      v128.store(im + to, f32x4.mul(v128.load(stripIm + from), scales));
      v128.store(im + to, f32x4.mul(v128.load(stripIm + from, 16), scales), 16);
    }
  }
}

/** Four rows of four values at `from`, as columns, into lines `into0..3`. */
@inline
function turnBlock(from: usize, step: usize, into0: usize, into1: usize, into2: usize, into3: usize): void {
  const r0 = v128.load(from);
  const r1 = v128.load(from + step);
  const r2 = v128.load(from + 2 * step);
  const r3 = v128.load(from + 3 * step);
  const low01 = v128.shuffle<i32>(r0, r1, 0, 4, 1, 5);
  const high01 = v128.shuffle<i32>(r0, r1, 2, 6, 3, 7);
  const low23 = v128.shuffle<i32>(r2, r3, 0, 4, 1, 5);
  const high23 = v128.shuffle<i32>(r2, r3, 2, 6, 3, 7);
  v128.store(into0, v128.shuffle<i32>(low01, low23, 0, 1, 4, 5));
  v128.store(into1, v128.shuffle<i32>(low01, low23, 2, 3, 6, 7));
  v128.store(into2, v128.shuffle<i32>(high01, high23, 0, 1, 4, 5));
  v128.store(into3, v128.shuffle<i32>(high01, high23, 2, 3, 6, 7));
}

/** Eight rows of `n` values at `rows` into a strip, in bit-reversed order. */
@inline
function gatherRows(rows: usize, rowBytes: usize, n: i32, reversed: usize, strip: usize): void {
  for (let x = 0; x < n; x += 4) {
    const at = reversed + (<usize>x << 2);
    const l0 = strip + (<usize>load<i32>(at) << 5);
    const l1 = strip + (<usize>load<i32>(at, 4) << 5);
    const l2 = strip + (<usize>load<i32>(at, 8) << 5);
    const l3 = strip + (<usize>load<i32>(at, 12) << 5);
    const from = rows + (<usize>x << 2);
    turnBlock(from, rowBytes, l0, l1, l2, l3);
    turnBlock(from + 4 * rowBytes, rowBytes, l0 + 16, l1 + 16, l2 + 16, l3 + 16);
  }
}

/** A strip back into eight rows, scaled. */
@inline
function scatterRows(strip: usize, n: i32, rows: usize, rowBytes: usize, scale: f32): void {
  const scales = f32x4.splat(scale);
  for (let o: usize = 0; o < (<usize>n << 5); o += 16) v128.store(strip + o, f32x4.mul(v128.load(strip + o), scales));
  for (let x = 0; x < n; x += 4) {
    const from = strip + (<usize>x << 5);
    const to = rows + (<usize>x << 2);
    turnBlock(from, 32, to, to + rowBytes, to + 2 * rowBytes, to + 3 * rowBytes);
    const below = to + 4 * rowBytes;
    turnBlock(from + 16, 32, below, below + rowBytes, below + 2 * rowBytes, below + 3 * rowBytes);
  }
}

/** As `fourierColumns` along `height` rows (a multiple of 8) of `n` values. */
export function fourierRows(
  re: usize, im: usize, n: i32, height: i32, reversed: usize, twiddles: usize, sign: f32, scale: f32, strip: usize,
): void {
  const rowBytes = <usize>n << 2;
  const stripIm = strip + (<usize>n << 5);
  for (let y = 0; y < height; y += 8) {
    const o = <usize>y * rowBytes;
    gatherRows(re + o, rowBytes, n, reversed, strip);
    gatherRows(im + o, rowBytes, n, reversed, stripIm);
    transformStrip(strip, stripIm, n, twiddles, sign);
    scatterRows(strip, n, re + o, rowBytes, scale);
    scatterRows(stripIm, n, im + o, rowBytes, scale);
  }
}
