import { exp4 } from './exponential';
import { lanesBelow, sum4 } from './lanes';

/** Weight of four pixels of a window under the Gaussian exp(-q / 2), 0 beyond q = 16 and for pixels that may not be used. */
function weight4(usable: usize, dx: v128, dy: v128, a: v128, b2: v128, c: v128): v128 {
  const q = f32x4.add(
    f32x4.add(f32x4.mul(a, f32x4.mul(dx, dx)), f32x4.mul(b2, f32x4.mul(dx, dy))),
    f32x4.mul(c, f32x4.mul(dy, dy)),
  );
  const isUsed = i32x4.ne(i32x4.extend_low_i16x8_u(v128.load_ext<u8>(usable)), i32x4.splat(0));
  const isNear = f32x4.le(q, f32x4.splat(16));
  return v128.and(exp4(f32x4.mul(q, f32x4.splat(-0.5))), v128.and(isUsed, isNear));
}

/**
 * Sums over a window of w v, w v dx, w v dy, w v dx^2, w v dx dy, w v dy^2: six doubles to `out`. w = exp(-q / 2), q = a dx^2 + 2 b dx dy + c dy^2 up to 16, about (x, y) in
 * the window's own columns and rows; v = value - pedestal. Columns i0..i1 and rows j0..j1; reads up to 8 bytes past the end of both arrays.
 */
export function momentSums(
  values: usize,
  usable: usize,
  width: i32,
  i0: i32,
  i1: i32,
  j0: i32,
  j1: i32,
  x: f64,
  y: f64,
  a: f64,
  b: f64,
  c: f64,
  pedestal: f64,
  out: usize,
): void {
  const a4 = f32x4.splat(<f32>a);
  const b4 = f32x4.splat(<f32>(2 * b));
  const c4 = f32x4.splat(<f32>c);
  const pedestal4 = f32x4.splat(<f32>pedestal);
  let s = f32x4.splat(0);
  let sx = f32x4.splat(0);
  let sy = f32x4.splat(0);
  let sxx = f32x4.splat(0);
  let sxy = f32x4.splat(0);
  let syy = f32x4.splat(0);
  for (let j = j0; j <= j1; j += 1) {
    const dy = f32x4.splat(<f32>(<f64>j - y));
    for (let i = i0; i <= i1; i += 4) {
      const at = j * width + i;
      const dx = f32x4.add(f32x4.splat(<f32>(<f64>i - x)), f32x4(0, 1, 2, 3));
      const w = v128.and(weight4(usable + at, dx, dy, a4, b4, c4), lanesBelow(i1 - i + 1));
      const v = f32x4.mul(w, f32x4.sub(v128.load(values + ((<usize>at) << 2)), pedestal4));
      const vx = f32x4.mul(v, dx);
      const vy = f32x4.mul(v, dy);
      s = f32x4.add(s, v);
      sx = f32x4.add(sx, vx);
      sy = f32x4.add(sy, vy);
      sxx = f32x4.add(sxx, f32x4.mul(vx, dx));
      sxy = f32x4.add(sxy, f32x4.mul(vx, dy));
      syy = f32x4.add(syy, f32x4.mul(vy, dy));
    }
  }
  store<f64>(out, sum4(s));
  store<f64>(out + 8, sum4(sx));
  store<f64>(out + 16, sum4(sy));
  store<f64>(out + 24, sum4(sxx));
  store<f64>(out + 32, sum4(sxy));
  store<f64>(out + 40, sum4(syy));
}

/**
 * What the errors and third moments need, in the same window and weight: sums of w v, w, n, n (r^2 / 2 - product)^2, n (dx (r^2 - 4 product))^2, w v dx r^2, w v dy r^2, with the
 * noise n = w^2 (variance + photonFactor max(0, v)): seven doubles to `out`.
 */
export function momentErrorSums(
  values: usize,
  usable: usize,
  width: i32,
  i0: i32,
  i1: i32,
  j0: i32,
  j1: i32,
  x: f64,
  y: f64,
  a: f64,
  b: f64,
  c: f64,
  pedestal: f64,
  variance: f64,
  photonFactor: f64,
  product: f64,
  out: usize,
): void {
  const a4 = f32x4.splat(<f32>a);
  const b4 = f32x4.splat(<f32>(2 * b));
  const c4 = f32x4.splat(<f32>c);
  const pedestal4 = f32x4.splat(<f32>pedestal);
  const variance4 = f32x4.splat(<f32>variance);
  const factor4 = f32x4.splat(<f32>photonFactor);
  const product4 = f32x4.splat(<f32>product);
  let s = f32x4.splat(0);
  let weights = f32x4.splat(0);
  let flux = f32x4.splat(0);
  let size = f32x4.splat(0);
  let skew = f32x4.splat(0);
  let skewX = f32x4.splat(0);
  let skewY = f32x4.splat(0);
  for (let j = j0; j <= j1; j += 1) {
    const dy = f32x4.splat(<f32>(<f64>j - y));
    for (let i = i0; i <= i1; i += 4) {
      const at = j * width + i;
      const dx = f32x4.add(f32x4.splat(<f32>(<f64>i - x)), f32x4(0, 1, 2, 3));
      const w = v128.and(weight4(usable + at, dx, dy, a4, b4, c4), lanesBelow(i1 - i + 1));
      const value = f32x4.sub(v128.load(values + ((<usize>at) << 2)), pedestal4);
      const v = f32x4.mul(w, value);
      const light = f32x4.max(f32x4.splat(0), value);
      const noise = f32x4.mul(f32x4.mul(w, w), f32x4.add(variance4, f32x4.mul(factor4, light)));
      const r2 = f32x4.add(f32x4.mul(dx, dx), f32x4.mul(dy, dy));
      const t = f32x4.sub(f32x4.mul(r2, f32x4.splat(0.5)), product4);
      const u = f32x4.mul(dx, f32x4.sub(r2, f32x4.mul(product4, f32x4.splat(4))));
      s = f32x4.add(s, v);
      weights = f32x4.add(weights, w);
      flux = f32x4.add(flux, noise);
      size = f32x4.add(size, f32x4.mul(noise, f32x4.mul(t, t)));
      skew = f32x4.add(skew, f32x4.mul(noise, f32x4.mul(u, u)));
      skewX = f32x4.add(skewX, f32x4.mul(f32x4.mul(v, dx), r2));
      skewY = f32x4.add(skewY, f32x4.mul(f32x4.mul(v, dy), r2));
    }
  }
  store<f64>(out, sum4(s));
  store<f64>(out + 8, sum4(weights));
  store<f64>(out + 16, sum4(flux));
  store<f64>(out + 24, sum4(size));
  store<f64>(out + 32, sum4(skew));
  store<f64>(out + 40, sum4(skewX));
  store<f64>(out + 48, sum4(skewY));
}
