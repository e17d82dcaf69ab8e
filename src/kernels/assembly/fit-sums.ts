import { bytesOf, FitPixels, lineOf, RESIDUAL } from './fit-pixels';
import { sum4 } from './lanes';

/** Doubles in a row of the matrices of a fit. */
export const ROW: i32 = 8;

/** Inner product of two lines of floats. */
export function dot(a: usize, b: usize, bytes: usize): f64 {
  let sum = f32x4.splat(0);
  for (let at: usize = 0; at < bytes; at += 16)
    sum = f32x4.add(sum, f32x4.mul(v128.load(a + at), v128.load(b + at)));
  return sum4(sum);
}

/** Inner products of a line with four that follow each other from `b`, `line` bytes apart: four doubles to `out`. */
function dot4(a: usize, b: usize, line: usize, bytes: usize, out: usize): void {
  let s0 = f32x4.splat(0);
  let s1 = s0;
  let s2 = s0;
  let s3 = s0;
  const c = b + line;
  const d = c + line;
  const e = d + line;
  for (let at: usize = 0; at < bytes; at += 16) {
    const v = v128.load(a + at);
    s0 = f32x4.add(s0, f32x4.mul(v, v128.load(b + at)));
    s1 = f32x4.add(s1, f32x4.mul(v, v128.load(c + at)));
    s2 = f32x4.add(s2, f32x4.mul(v, v128.load(d + at)));
    s3 = f32x4.add(s3, f32x4.mul(v, v128.load(e + at)));
  }
  store<f64>(out, sum4(s0));
  store<f64>(out + 8, sum4(s1));
  store<f64>(out + 16, sum4(s2));
  store<f64>(out + 24, sum4(s3));
}

/**
 * Normal equations of the first `size` derivatives (seven at most): lower half of J^T J in rows of eight doubles to `normal` (what stands right of it counts for nothing), J^T residual to `gradient`.
 */
export function normalSums(pixels: FitPixels, size: i32, normal: usize, gradient: usize): void {
  const bytes = bytesOf(pixels);
  const residual = lineOf(pixels, RESIDUAL);
  for (let u = 0; u < size; u += 1) {
    const row = normal + ((<usize>(u * ROW)) << 3);
    const line = lineOf(pixels, u);
    dot4(line, pixels.work, pixels.line, bytes, row);
    if (u >= 4) dot4(line, lineOf(pixels, 4), pixels.line, bytes, row + 32);
    store<f64>(gradient + ((<usize>u) << 3), dot(line, residual, bytes));
  }
}

/** Data less `height` times the profile to the residuals' line; returns the sum of their squares. */
export function residualSums(pixels: FitPixels, height: f64): f64 {
  const bytes = bytesOf(pixels);
  const values = pixels.values;
  const profile = pixels.work;
  const residual = lineOf(pixels, RESIDUAL);
  const h = f32x4.splat(<f32>height);
  let sum = f32x4.splat(0);
  for (let at: usize = 0; at < bytes; at += 16) {
    const g = v128.load(profile + at);
    const r = f32x4.sub(v128.load(values + at), f32x4.mul(h, g));
    v128.store(residual + at, r);
    sum = f32x4.add(sum, f32x4.mul(r, r));
  }
  return sum4(sum);
}
