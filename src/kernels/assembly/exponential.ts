/*
 * Exponential and logarithm of four floats, good to about 2e-7 of the value: range reduction by powers of two and the minimax polynomials of
 * Moshier's Cephes library (expf, logf; public description in Methods and Programs for Mathematical Functions, 1989).
 */

/** e^x; 0 below -87, e^88 above 88. */
export function exp4(x: v128): v128 {
  const isTiny = f32x4.lt(x, f32x4.splat(-87));
  const v = f32x4.min(f32x4.max(x, f32x4.splat(-87)), f32x4.splat(88));
  const n = f32x4.nearest(f32x4.mul(v, f32x4.splat(1.44269504088896341)));
  let r = f32x4.sub(v, f32x4.mul(n, f32x4.splat(0.693359375)));
  r = f32x4.add(r, f32x4.mul(n, f32x4.splat(2.1219444e-4)));
  let p = f32x4.splat(1.98756915e-4);
  p = f32x4.add(f32x4.mul(p, r), f32x4.splat(1.3981999507e-3));
  p = f32x4.add(f32x4.mul(p, r), f32x4.splat(8.3334519073e-3));
  p = f32x4.add(f32x4.mul(p, r), f32x4.splat(4.1665795894e-2));
  p = f32x4.add(f32x4.mul(p, r), f32x4.splat(1.6666665459e-1));
  p = f32x4.add(f32x4.mul(p, r), f32x4.splat(5.0000001201e-1));
  p = f32x4.add(f32x4.add(f32x4.mul(f32x4.mul(p, r), r), r), f32x4.splat(1));
  const power = i32x4.shl(i32x4.add(i32x4.trunc_sat_f32x4_s(n), i32x4.splat(127)), 23);
  return v128.andnot(f32x4.mul(p, power), isTiny);
}

/** Natural logarithm of positive normal floats. */
export function log4(x: v128): v128 {
  // Mantissa in [0.5, 1), then in [sqrt(0.5), sqrt(2)).
  let e = i32x4.sub(i32x4.shr_u(x, 23), i32x4.splat(126));
  let m = v128.or(v128.and(x, i32x4.splat(0x007fffff)), f32x4.splat(0.5));
  const isLow = f32x4.lt(m, f32x4.splat(0.707106781186547524));
  e = i32x4.add(e, isLow);
  m = f32x4.sub(f32x4.add(m, v128.and(m, isLow)), f32x4.splat(1));
  const z = f32x4.mul(m, m);
  let p = f32x4.splat(7.0376836292e-2);
  p = f32x4.add(f32x4.mul(p, m), f32x4.splat(-1.151461031e-1));
  p = f32x4.add(f32x4.mul(p, m), f32x4.splat(1.167699874e-1));
  p = f32x4.add(f32x4.mul(p, m), f32x4.splat(-1.2420140846e-1));
  p = f32x4.add(f32x4.mul(p, m), f32x4.splat(1.4249322787e-1));
  p = f32x4.add(f32x4.mul(p, m), f32x4.splat(-1.6668057665e-1));
  p = f32x4.add(f32x4.mul(p, m), f32x4.splat(2.0000714765e-1));
  p = f32x4.add(f32x4.mul(p, m), f32x4.splat(-2.4999993993e-1));
  p = f32x4.add(f32x4.mul(p, m), f32x4.splat(3.3333331174e-1));
  p = f32x4.mul(f32x4.mul(p, m), z);
  const n = f32x4.convert_i32x4_s(e);
  p = f32x4.add(p, f32x4.mul(n, f32x4.splat(-2.1219444e-4)));
  p = f32x4.sub(p, f32x4.mul(z, f32x4.splat(0.5)));
  return f32x4.add(f32x4.add(m, p), f32x4.mul(n, f32x4.splat(0.693359375)));
}
