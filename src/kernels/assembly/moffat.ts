import { exp4, log4 } from './exponential';
import { sum4 } from './lanes';

/** Parameters: height, x, y, a, b, c, gamma. */
const MOST: i32 = 7;

/** Lanes below `count`, counted from entry `i`. */
function lanesBelow(i: i32, count: i32): v128 {
  return i32x4.lt_s(i32x4.add(i32x4.splat(i), i32x4(0, 1, 2, 3)), i32x4.splat(count));
}

/** Inner product of two lines of floats. */
function dot(a: usize, b: usize, bytes: usize): f64 {
  let sum = f32x4.splat(0);
  for (let at: usize = 0; at < bytes; at += 16)
    sum = f32x4.add(sum, f32x4.mul(v128.load(a + at), v128.load(b + at)));
  return sum4(sum);
}

/** Inner product of three. */
function dot3(a: usize, b: usize, c: usize, bytes: usize): f64 {
  let sum = f32x4.splat(0);
  for (let at: usize = 0; at < bytes; at += 16)
    sum = f32x4.add(sum, f32x4.mul(f32x4.mul(v128.load(a + at), v128.load(b + at)), v128.load(c + at)));
  return sum4(sum);
}

/**
 * Elliptical Moffat profile at `count` pixels, averaged over each pixel's nodes (`nodes`: dx, dy, weight triples of floats), with its derivatives.
 *
 * `xs`, `ys`, `data`: floats. `p`: height, x, y, a, b, c, gamma and 2^gamma - 1 as doubles. Leaves in `work` lines of `stride` floats (a multiple of 4): seven derivatives, the model, the residuals; 0 beyond `count`.
 * Writes to `normal` (size x size doubles, row-major) the lower half of J^T J over the first `size` parameters, to `gradient` J^T r; returns the sum of squared residuals.
 */
export function moffatSums(
  xs: usize,
  ys: usize,
  data: usize,
  count: i32,
  nodes: usize,
  nodeCount: i32,
  p: usize,
  size: i32,
  work: usize,
  stride: i32,
  normal: usize,
  gradient: usize,
): f64 {
  const height = load<f64>(p);
  const gamma = load<f64>(p + 48);
  const isGaussian = Math.abs(gamma) < 1e-4;
  const scale = load<f64>(p + 56);
  const height4 = f32x4.splat(<f32>height);
  const x0 = f32x4.splat(<f32>load<f64>(p + 8));
  const y0 = f32x4.splat(<f32>load<f64>(p + 16));
  const a = f32x4.splat(<f32>load<f64>(p + 24));
  const b = f32x4.splat(<f32>load<f64>(p + 32));
  const c = f32x4.splat(<f32>load<f64>(p + 40));
  const scale4 = f32x4.splat(<f32>scale);
  const minusInverse = f32x4.splat(isGaussian ? 0 : <f32>(-1 / gamma));
  const slopeScale = f32x4.splat(isGaussian ? 0 : <f32>(scale / gamma));
  const perSquare = f32x4.splat(isGaussian ? 0 : <f32>(1 / (gamma * gamma)));
  const bySlope = f32x4.splat(isGaussian ? 0 : <f32>(((scale + 1) * Math.LN2) / gamma));
  const ln2 = f32x4.splat(<f32>Math.LN2);
  const one = f32x4.splat(1);
  const two = f32x4.splat(2);
  const line = (<usize>stride) << 2;
  const model = work + line * MOST;
  const residual = model + line;
  for (let i = 0; i < count; i += 4) {
    const at = (<usize>i) << 2;
    const px = f32x4.sub(v128.load(xs + at), x0);
    const py = f32x4.sub(v128.load(ys + at), y0);
    let g = f32x4.splat(0);
    let gx = f32x4.splat(0);
    let gy = f32x4.splat(0);
    let ga = f32x4.splat(0);
    let gb = f32x4.splat(0);
    let gc = f32x4.splat(0);
    let gg = f32x4.splat(0);
    for (let k = 0; k < nodeCount; k += 1) {
      const node = nodes + <usize>k * 12;
      const dx = f32x4.add(px, v128.load32_splat(node));
      const dy = f32x4.add(py, v128.load32_splat(node + 4));
      const weight = v128.load32_splat(node + 8);
      const adx = f32x4.add(f32x4.mul(a, dx), f32x4.mul(b, dy));
      const bdx = f32x4.add(f32x4.mul(b, dx), f32x4.mul(c, dy));
      const q = f32x4.add(f32x4.mul(adx, dx), f32x4.mul(bdx, dy));
      let f: v128;
      let fs: v128;
      if (isGaussian) {
        f = f32x4.mul(weight, exp4(f32x4.neg(f32x4.mul(ln2, q))));
        fs = f32x4.mul(f, ln2);
        const curve = f32x4.mul(f32x4.mul(ln2, ln2), f32x4.mul(q, f32x4.sub(one, q)));
        gg = f32x4.sub(gg, f32x4.mul(f, f32x4.mul(curve, f32x4.splat(0.5))));
      } else {
        const y = f32x4.mul(scale4, q);
        const base = f32x4.add(one, y);
        // Beyond the end of a profile that ends there is nothing.
        const isLit = f32x4.gt(base, f32x4.splat(1e-30));
        const safe = v128.bitselect(base, one, isLit);
        const inverse = f32x4.div(one, safe);
        // What rounding to 1 + y took away, given back to first order: near the Gaussian it would count 1 / gamma times.
        const lost = f32x4.sub(y, f32x4.sub(safe, one));
        const log = f32x4.add(log4(safe), f32x4.mul(v128.and(lost, isLit), inverse));
        f = v128.and(f32x4.mul(weight, exp4(f32x4.mul(log, minusInverse))), isLit);
        fs = f32x4.mul(f, f32x4.mul(slopeScale, inverse));
        const byGamma = f32x4.sub(f32x4.mul(log, perSquare), f32x4.mul(f32x4.mul(bySlope, q), inverse));
        gg = f32x4.add(gg, f32x4.mul(f, byGamma));
      }
      g = f32x4.add(g, f);
      gx = f32x4.add(gx, f32x4.mul(fs, adx));
      gy = f32x4.add(gy, f32x4.mul(fs, bdx));
      const fx = f32x4.mul(fs, dx);
      ga = f32x4.sub(ga, f32x4.mul(fx, dx));
      gb = f32x4.sub(gb, f32x4.mul(fx, dy));
      gc = f32x4.sub(gc, f32x4.mul(f32x4.mul(fs, dy), dy));
    }
    const isPixel = lanesBelow(i, count);
    const m = f32x4.mul(height4, g);
    v128.store(work + at, v128.and(g, isPixel));
    v128.store(work + line + at, v128.and(f32x4.mul(f32x4.mul(height4, two), gx), isPixel));
    v128.store(work + 2 * line + at, v128.and(f32x4.mul(f32x4.mul(height4, two), gy), isPixel));
    v128.store(work + 3 * line + at, v128.and(f32x4.mul(height4, ga), isPixel));
    v128.store(work + 4 * line + at, v128.and(f32x4.mul(f32x4.mul(height4, two), gb), isPixel));
    v128.store(work + 5 * line + at, v128.and(f32x4.mul(height4, gc), isPixel));
    v128.store(work + 6 * line + at, v128.and(f32x4.mul(height4, gg), isPixel));
    v128.store(model + at, v128.and(m, isPixel));
    v128.store(residual + at, v128.and(f32x4.sub(v128.load(data + at), m), isPixel));
  }
  const bytes = (<usize>((count + 3) & ~3)) << 2;
  for (let u = 0; u < size; u += 1) {
    const line1 = work + <usize>u * line;
    store<f64>(gradient + ((<usize>u) << 3), dot(line1, residual, bytes));
    for (let v = 0; v <= u; v += 1)
      store<f64>(normal + ((<usize>(u * size + v)) << 3), dot(line1, work + <usize>v * line, bytes));
  }
  return dot(residual, residual, bytes);
}

/**
 * After `moffatSums` at the solution: J^T N J with N the pixels' noise variance + photonFactor max(0, model), full, to `middle` (size x size doubles); and to `out`
 * two doubles, the sum of (r^2 / freedom - variance) model and of model^2. `freedom` is 1, or, where `inverse` (size x size doubles, (J^T J)^-1) is not 0, 1 - leverage of the pixel, at least 0.2.
 */
export function moffatNoise(
  count: i32,
  size: i32,
  work: usize,
  stride: i32,
  variance: f64,
  photonFactor: f64,
  inverse: usize,
  middle: usize,
  out: usize,
): void {
  const line = (<usize>stride) << 2;
  const model = work + line * MOST;
  const residual = model + line;
  const noise = residual + line;
  const bytes = (<usize>((count + 3) & ~3)) << 2;
  let excess = 0.0;
  let light = 0.0;
  for (let i = 0; i < count; i += 1) {
    const at = (<usize>i) << 2;
    const m = <f64>load<f32>(model + at);
    const r = <f64>load<f32>(residual + at);
    let freedom = 1.0;
    if (inverse != 0) {
      let leverage = 0.0;
      for (let u = 0; u < size; u += 1) {
        const du = <f64>load<f32>(work + <usize>u * line + at);
        for (let v = 0; v < size; v += 1)
          leverage +=
            du *
            load<f64>(inverse + ((<usize>(u * size + v)) << 3)) *
            <f64>load<f32>(work + <usize>v * line + at);
      }
      freedom = max(0.2, 1 - leverage);
    }
    excess += ((r * r) / freedom - variance) * m;
    light += m * m;
    store<f32>(noise + at, <f32>(variance + photonFactor * max(0.0, m)));
  }
  for (let i = count; i & 3; i += 1) store<f32>(noise + ((<usize>i) << 2), 0);
  for (let u = 0; u < size; u += 1) {
    for (let v = 0; v <= u; v += 1) {
      const sum = dot3(work + <usize>u * line, work + <usize>v * line, noise, bytes);
      store<f64>(middle + ((<usize>(u * size + v)) << 3), sum);
      store<f64>(middle + ((<usize>(v * size + u)) << 3), sum);
    }
  }
  store<f64>(out, excess);
  store<f64>(out + 8, light);
}
