import { exp4, log4 } from './exponential';
import { bytesOf, FitPixels } from './fit-pixels';
import { held, sum4 } from './lanes';

/*
 * Elliptical Moffat profile of height 1: f = (1 + (2^gamma - 1) q)^(-1/gamma), q = a dx^2 + 2 b dx dy + c dy^2; exp(-ln 2 q) where gamma is 0.
 * Parameters, doubles at `p`: height, x, y, a, b, c, gamma, 2^gamma - 1.
 */
const X: usize = 8;
const Y: usize = 16;
const A: usize = 24;
const B: usize = 32;
const C: usize = 40;
const GAMMA: usize = 48;
const SCALE: usize = 56;

/** Closer to 0 than this, gamma makes no difference to floats. */
const GAUSSIAN: f64 = 1e-4;

/** A number of 64 bits, four times as a float. */
function wide(number: f64): v128 {
  return held(f32x4.splat(<f32>number));
}

/** Logarithm of 1 + y with what rounding to 1 + y took away given back to first order: near the Gaussian it would count 1 / gamma times. */
function logOf(y: v128, safe: v128, inverse: v128, isLit: v128): v128 {
  const lost = f32x4.sub(y, f32x4.sub(safe, f32x4.splat(1)));
  return f32x4.add(log4(safe), f32x4.mul(v128.and(lost, isLit), inverse));
}

/** Fills the derivative lines of `pixels` for the parameters at `p`: the first `size` of seven. */
export function moffatLines(pixels: FitPixels, p: usize, size: i32): void {
  const gamma = load<f64>(p + GAMMA);
  const scale = load<f64>(p + SCALE);
  const isGaussian = Math.abs(gamma) < GAUSSIAN;
  const asksGamma = size > 6;
  const x0 = wide(load<f64>(p + X));
  const y0 = wide(load<f64>(p + Y));
  const a = wide(load<f64>(p + A));
  const b = wide(load<f64>(p + B));
  const c = wide(load<f64>(p + C));
  const scale4 = wide(isGaussian ? Math.LN2 : scale);
  const slope = wide(isGaussian ? Math.LN2 : scale / gamma);
  const minusInverse = wide(isGaussian ? 0 : -1 / gamma);
  const perSquare = wide(isGaussian ? 0 : 1 / (gamma * gamma));
  const bySlope = wide(isGaussian ? 0 : ((scale + 1) * Math.LN2) / gamma);
  const one = f32x4.splat(1);
  const xs = pixels.xs;
  const ys = pixels.ys;
  const line = pixels.line;
  const work = pixels.work;
  const nodes = pixels.nodes;
  const nodeBytes = (<usize>pixels.nodeCount) << 2;
  const nodeLine = (nodeBytes + 15) & ~15;
  const bytes = bytesOf(pixels);
  let left = i32x4.sub(i32x4.splat(pixels.count), i32x4(0, 1, 2, 3));
  for (let at: usize = 0; at < bytes; at += 16) {
    const px = f32x4.sub(v128.load(xs + at), x0);
    const py = f32x4.sub(v128.load(ys + at), y0);
    let g = f32x4.splat(0);
    let gx = f32x4.splat(0);
    let gy = f32x4.splat(0);
    let gxx = f32x4.splat(0);
    let gxy = f32x4.splat(0);
    let gyy = f32x4.splat(0);
    let gg = f32x4.splat(0);
    for (let node = nodes, end = nodes + nodeBytes; node < end; node += 4) {
      const weight = v128.load32_splat(node + 2 * nodeLine);
      const dx = f32x4.add(px, v128.load32_splat(node));
      const dy = f32x4.add(py, v128.load32_splat(node + nodeLine));
      const adx = f32x4.add(f32x4.mul(a, dx), f32x4.mul(b, dy));
      const bdx = f32x4.add(f32x4.mul(b, dx), f32x4.mul(c, dy));
      const q = f32x4.add(f32x4.mul(adx, dx), f32x4.mul(bdx, dy));
      const y = f32x4.mul(scale4, q);
      let f: v128;
      let fs: v128;
      if (isGaussian) {
        f = f32x4.mul(weight, exp4(f32x4.neg(y)));
        fs = f;
        if (asksGamma)
          gg = f32x4.sub(gg, f32x4.mul(f, f32x4.mul(f32x4.mul(y, f32x4.splat(0.5)), f32x4.sub(scale4, y))));
      } else {
        const base = f32x4.add(one, y);
        // Beyond the end of a profile that ends there is nothing.
        const isLit = f32x4.gt(base, f32x4.splat(1e-30));
        const safe = v128.bitselect(base, one, isLit);
        const inverse = f32x4.div(one, safe);
        const log = logOf(y, safe, inverse, isLit);
        f = v128.and(f32x4.mul(weight, exp4(f32x4.mul(log, minusInverse))), isLit);
        fs = f32x4.mul(f, inverse);
        if (asksGamma)
          gg = f32x4.add(
            gg,
            f32x4.sub(f32x4.mul(f, f32x4.mul(log, perSquare)), f32x4.mul(f32x4.mul(bySlope, q), fs)),
          );
      }
      const fx = f32x4.mul(fs, dx);
      const fy = f32x4.mul(fs, dy);
      g = f32x4.add(g, f);
      gx = f32x4.add(gx, fx);
      gy = f32x4.add(gy, fy);
      gxx = f32x4.add(gxx, f32x4.mul(fx, dx));
      gxy = f32x4.add(gxy, f32x4.mul(fx, dy));
      gyy = f32x4.add(gyy, f32x4.mul(fy, dy));
    }
    const isPixel = i32x4.gt_s(left, i32x4.splat(0));
    left = i32x4.sub(left, i32x4.splat(4));
    const once = v128.and(slope, isPixel);
    const twice = f32x4.add(once, once);
    const to = work + at;
    v128.store(to, v128.and(g, isPixel));
    v128.store(to + line, f32x4.mul(twice, f32x4.add(f32x4.mul(a, gx), f32x4.mul(b, gy))));
    v128.store(to + 2 * line, f32x4.mul(twice, f32x4.add(f32x4.mul(b, gx), f32x4.mul(c, gy))));
    v128.store(to + 3 * line, f32x4.neg(f32x4.mul(once, gxx)));
    v128.store(to + 4 * line, f32x4.neg(f32x4.mul(twice, gxy)));
    v128.store(to + 5 * line, f32x4.neg(f32x4.mul(once, gyy)));
    if (asksGamma) v128.store(to + 6 * line, v128.and(gg, isPixel));
  }
}

/** Height at (dx, dy) from the centre, averaged over the points of a pixel (see `FitPixels`). */
export function moffatHeight(p: usize, nodes: usize, nodeCount: i32, dx: f64, dy: f64): f64 {
  const gamma = load<f64>(p + GAMMA);
  const isGaussian = Math.abs(gamma) < GAUSSIAN;
  const scale = wide(isGaussian ? Math.LN2 : load<f64>(p + SCALE));
  const minusInverse = wide(isGaussian ? 0 : -1 / gamma);
  const a = wide(load<f64>(p + A));
  const b = wide(2 * load<f64>(p + B));
  const c = wide(load<f64>(p + C));
  const x0 = wide(dx);
  const y0 = wide(dy);
  const one = f32x4.splat(1);
  const line = (((<usize>nodeCount) << 2) + 15) & ~15;
  let sum = f32x4.splat(0);
  for (let node = nodes; node < nodes + line; node += 16) {
    const x = f32x4.add(x0, v128.load(node));
    const y = f32x4.add(y0, v128.load(node + line));
    const q = f32x4.add(
      f32x4.mul(x, f32x4.add(f32x4.mul(a, x), f32x4.mul(b, y))),
      f32x4.mul(f32x4.mul(c, y), y),
    );
    const sq = f32x4.mul(scale, q);
    let f: v128;
    if (isGaussian) f = exp4(f32x4.neg(sq));
    else {
      const base = f32x4.add(one, sq);
      const isLit = f32x4.gt(base, f32x4.splat(1e-30));
      const safe = v128.bitselect(base, one, isLit);
      const log = logOf(sq, safe, f32x4.div(one, safe), isLit);
      f = v128.and(exp4(f32x4.mul(log, minusInverse)), isLit);
    }
    sum = f32x4.add(sum, f32x4.mul(f, v128.load(node + 2 * line)));
  }
  return sum4(sum);
}
