import { exp4 } from './exponential';
import { highest4, lanesBelow, lowest4, sum4 } from './lanes';

/** Weights beyond q = 16 do not count. */
const LEAST: f32 = 3.3546263e-4;
/** Rows over which a weight is carried on by multiplication before it is worked out anew: rounding adds up. */
const ROWS: i32 = 16;

/** Rows in which one of four columns has weights that count; see `findRows`. */
let firstRow: i32 = 0;
let lastRow: i32 = 0;

/** The rows, between j0 and j1, of the columns at `dx` where q = a dx^2 + 2 b dx dy + c dy^2 is up to 16: none when the last comes before the first. */
function findRows(dx: v128, y: f64, a: f64, b: f64, c: f64, j0: i32, j1: i32): void {
  const middle = f32x4.mul(dx, f32x4.splat(<f32>(-b / c)));
  const left = f32x4.sub(
    f32x4.splat(<f32>(16 / c)),
    f32x4.mul(f32x4.mul(dx, dx), f32x4.splat(<f32>((a - (b * b) / c) / c))),
  );
  const half = f32x4.sqrt(f32x4.max(left, f32x4.splat(0)));
  const isThere = f32x4.ge(left, f32x4.splat(0));
  const low = v128.bitselect(f32x4.sub(middle, half), f32x4.splat(1e6), isThere);
  const high = v128.bitselect(f32x4.add(middle, half), f32x4.splat(-1e6), isThere);
  const lowest = lowest4(low);
  const highest = highest4(high);
  firstRow = max(j0, <i32>Math.ceil(y + <f64>lowest - 0.001));
  lastRow = min(j1, <i32>Math.floor(y + <f64>highest + 0.001));
}

/** exp(-q / 2) of four pixels of a row, q = a dx^2 + 2 b dx dy + c dy^2. */
function weights4(dx: v128, dy: f64, a: f64, b: f64, c: f64): v128 {
  const along = f32x4.add(f32x4.mul(dx, f32x4.splat(<f32>(-a / 2))), f32x4.splat(<f32>(-b * dy)));
  return exp4(f32x4.add(f32x4.mul(dx, along), f32x4.splat(<f32>((-c * dy * dy) / 2))));
}

/** By what these weights change from the row at `dy` to the next one; that change itself changes by exp(-c) each row. */
function towardsNextRow(dx: v128, dy: f64, b: f64, c: f64): v128 {
  return exp4(f32x4.sub(f32x4.splat(<f32>(-c * (dy + 0.5))), f32x4.mul(dx, f32x4.splat(<f32>b))));
}

/** The weights of pixels that count: `lanes` of them that may be used and are near. */
function counted(weights: v128, usable: usize, lanes: v128): v128 {
  const isUsed = i32x4.ne(i32x4.extend_low_i16x8_u(v128.load_ext<u8>(usable)), i32x4.splat(0));
  const isNear = f32x4.ge(weights, f32x4.splat(LEAST));
  return v128.and(weights, v128.and(v128.and(isUsed, isNear), lanes));
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
  const changes = f32x4.splat(<f32>Math.exp(-c));
  const pedestal4 = f32x4.splat(<f32>pedestal);
  let s = f32x4.splat(0);
  let sx = f32x4.splat(0);
  let sy = f32x4.splat(0);
  let sxx = f32x4.splat(0);
  let sxy = f32x4.splat(0);
  let syy = f32x4.splat(0);
  for (let i = i0; i <= i1; i += 4) {
    const dx = f32x4.add(f32x4.splat(<f32>(<f64>i - x)), f32x4(0, 1, 2, 3));
    const lanes = lanesBelow(i1 - i + 1);
    findRows(dx, y, a, b, c, j0, j1);
    let weights = f32x4.splat(0);
    let change = f32x4.splat(0);
    for (let j = firstRow; j <= lastRow; j += 1) {
      const at = j * width + i;
      if ((j - firstRow) % ROWS == 0) {
        weights = weights4(dx, <f64>j - y, a, b, c);
        change = towardsNextRow(dx, <f64>j - y, b, c);
      }
      const dy = f32x4.splat(<f32>(<f64>j - y));
      const w = counted(weights, usable + at, lanes);
      weights = f32x4.mul(weights, change);
      change = f32x4.mul(change, changes);
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
  const changes = f32x4.splat(<f32>Math.exp(-c));
  const pedestal4 = f32x4.splat(<f32>pedestal);
  const variance4 = f32x4.splat(<f32>variance);
  const factor4 = f32x4.splat(<f32>photonFactor);
  const product4 = f32x4.splat(<f32>product);
  let s = f32x4.splat(0);
  let total = f32x4.splat(0);
  let flux = f32x4.splat(0);
  let size = f32x4.splat(0);
  let skew = f32x4.splat(0);
  let skewX = f32x4.splat(0);
  let skewY = f32x4.splat(0);
  for (let i = i0; i <= i1; i += 4) {
    const dx = f32x4.add(f32x4.splat(<f32>(<f64>i - x)), f32x4(0, 1, 2, 3));
    const lanes = lanesBelow(i1 - i + 1);
    findRows(dx, y, a, b, c, j0, j1);
    let weights = f32x4.splat(0);
    let change = f32x4.splat(0);
    for (let j = firstRow; j <= lastRow; j += 1) {
      const at = j * width + i;
      if ((j - firstRow) % ROWS == 0) {
        weights = weights4(dx, <f64>j - y, a, b, c);
        change = towardsNextRow(dx, <f64>j - y, b, c);
      }
      const dy = f32x4.splat(<f32>(<f64>j - y));
      const w = counted(weights, usable + at, lanes);
      weights = f32x4.mul(weights, change);
      change = f32x4.mul(change, changes);
      const value = f32x4.sub(v128.load(values + ((<usize>at) << 2)), pedestal4);
      const v = f32x4.mul(w, value);
      const light = f32x4.max(f32x4.splat(0), value);
      const noise = f32x4.mul(f32x4.mul(w, w), f32x4.add(variance4, f32x4.mul(factor4, light)));
      const r2 = f32x4.add(f32x4.mul(dx, dx), f32x4.mul(dy, dy));
      const t = f32x4.sub(f32x4.mul(r2, f32x4.splat(0.5)), product4);
      const u = f32x4.mul(dx, f32x4.sub(r2, f32x4.mul(product4, f32x4.splat(4))));
      s = f32x4.add(s, v);
      total = f32x4.add(total, w);
      flux = f32x4.add(flux, noise);
      size = f32x4.add(size, f32x4.mul(noise, f32x4.mul(t, t)));
      skew = f32x4.add(skew, f32x4.mul(noise, f32x4.mul(u, u)));
      skewX = f32x4.add(skewX, f32x4.mul(f32x4.mul(v, dx), r2));
      skewY = f32x4.add(skewY, f32x4.mul(f32x4.mul(v, dy), r2));
    }
  }
  store<f64>(out, sum4(s));
  store<f64>(out + 8, sum4(total));
  store<f64>(out + 16, sum4(flux));
  store<f64>(out + 24, sum4(size));
  store<f64>(out + 32, sum4(skew));
  store<f64>(out + 40, sum4(skewX));
  store<f64>(out + 48, sum4(skewY));
}
