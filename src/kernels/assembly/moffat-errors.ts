import { factorise, solveFactored } from './cholesky';
import { bytesOf, FitPixels, fitPixels, lineOf, RESIDUAL } from './fit-pixels';
import { ROW } from './fit-sums';
import { sum4 } from './lanes';
import { fitShape, OWN, Solution } from './moffat-fit';
import { entry, put } from './numbers';
import { sensorWidth } from './sensor-width';

/*
 * One star from its pixels to its figures. Doubles at `star`:
 *
 *   0  height, x, y, a, b, c, gamma, 2^gamma - 1      start (height: any) and solution, see `moffatLines`
 *   8  steps at most, tolerance, rounding             see `fitShape`
 *  11  variance of a pixel, photonFactor, variance of the sky level: a pixel has variance + photonFactor x (light of the star)
 *  14  results
 */
const STEPS: i32 = 8;
const TOLERANCE: i32 = 9;
const ROUNDING: i32 = 10;
const VARIANCE: i32 = 11;
const PHOTONS: i32 = 12;
const LEVEL: i32 = 13;
const RESULTS: i32 = 14;

/** Pixels that a fit follows all the way keep this part of their residual's variance at least. */
const LEAST_FREEDOM: f32 = 0.2;

const factorAt: usize = memory.data(8 * 8 * ROW, 16);
/** Rows of the inverse, and unit vectors on the way to them: doubles. */
const rowsAt: usize = memory.data(3 * 8 * ROW, 16);
/** The same as floats, and the factor with its diagonal inverted. */
const floatRowsAt: usize = memory.data(3 * 4 * ROW, 16);
const floatFactorAt: usize = memory.data(8 * 4 * ROW, 16);
/** Four pixels' derivatives, made independent of each other. */
const turnedAt: usize = memory.data(16 * ROW, 16);

function fitAt(pixels: FitPixels, star: usize, size: i32): Solution | null {
  return fitShape(pixels, star, size, <i32>entry(star, STEPS), entry(star, TOLERANCE), entry(star, ROUNDING));
}

/** Row `k` of the inverse of what is factored at `factorAt`, to row `to`. */
function inverseRow(size: i32, k: i32, to: i32): void {
  const row = rowsAt + ((<usize>(to * ROW)) << 3);
  memory.fill(row, 0, 8 * ROW);
  put(row, k, 1);
  solveFactored(factorAt, ROW, size, row);
  for (let u = 0; u < size; u += 1)
    store<f32>(floatRowsAt + ((<usize>(to * ROW + u)) << 2), <f32>entry(row, u));
}

/** How parameters follow four pixels at `at`: row `k` of the inverse times their derivatives. */
function influence(pixels: FitPixels, size: i32, k: i32, at: usize): v128 {
  let sum = f32x4.splat(0);
  for (let u = 0; u < size; u += 1)
    sum = f32x4.add(
      sum,
      f32x4.mul(
        v128.load32_splat(floatRowsAt + ((<usize>(k * ROW + u)) << 2)),
        v128.load(lineOf(pixels, u) + at),
      ),
    );
  return sum;
}

/** What part of its own value the model takes over from each of four pixels (leverage; Hoaglin & Welsch 1978). */
function leverage(pixels: FitPixels, size: i32, at: usize): v128 {
  let sum = f32x4.splat(0);
  for (let u = 0; u < size; u += 1) {
    const row = floatFactorAt + ((<usize>(u * ROW)) << 2);
    let v = v128.load(lineOf(pixels, u) + at);
    for (let k = 0; k < u; k += 1)
      v = f32x4.sub(
        v,
        f32x4.mul(v128.load32_splat(row + ((<usize>k) << 2)), v128.load(turnedAt + ((<usize>k) << 4))),
      );
    v = f32x4.mul(v, v128.load32_splat(row + ((<usize>u) << 2)));
    v128.store(turnedAt + ((<usize>u) << 4), v);
    sum = f32x4.add(sum, f32x4.mul(v, v));
  }
  return sum;
}

/**
 * Fit the star with gamma held, and ask its pixels which way gamma should go. Returns 0 when there is no star, 1 for a fit at rest, 2 for one that did not come to rest.
 *
 * Results: what the pixels would add to gamma, to first order, and its error; the residuals' variance beyond the noise per light of the star; derivatives of x, y, a, b, c by gamma at the solution.
 * Errors follow from the pixels' noise through the equal-weight solution (White 1980, Econometrica 48, 817), with the level of the sky unsure in all pixels alike.
 */
export function voteOnGamma(
  pixelsAt: usize,
  stride: i32,
  count: i32,
  nodes: usize,
  nodeCount: i32,
  work: usize,
  star: usize,
): i32 {
  const size = OWN + 1;
  const pixels = fitPixels(pixelsAt, stride, count, nodes, nodeCount, work);
  const fit = fitAt(pixels, star, size);
  if (fit === null) return 0;
  memory.copy(factorAt, fit.normal, 8 * ROW * size);
  if (!factorise(factorAt, ROW, size)) return 0;
  for (let u = 0; u < size; u += 1) {
    for (let k = 0; k < u; k += 1)
      store<f32>(floatFactorAt + ((<usize>(u * ROW + k)) << 2), <f32>entry(factorAt, u * ROW + k));
    store<f32>(floatFactorAt + ((<usize>(u * ROW + u)) << 2), <f32>(1 / entry(factorAt, u * ROW + u)));
  }
  const height = entry(star, 0);
  const out = star + (RESULTS << 3);
  // The last row holds products of gamma's derivative with the others.
  memory.copy(out + 24, fit.normal + ((<usize>(OWN * ROW)) << 3), 8 * OWN);
  solveFactored(factorAt, ROW, OWN, out + 24);
  for (let k = 0; k < OWN - 1; k += 1) put(out + 24, k, -entry(out + 24, k + 1));
  solveFactored(factorAt, ROW, size, fit.gradient);
  inverseRow(size, OWN, 0);
  const variance = f32x4.splat(<f32>(entry(star, VARIANCE) / (height * height)));
  const photons = f32x4.splat(<f32>(entry(star, PHOTONS) / height));
  const perHeight = f32x4.splat(<f32>(1 / height));
  const zero = f32x4.splat(0);
  let excess = zero;
  let light = zero;
  let square = zero;
  let follow = zero;
  const residual = lineOf(pixels, RESIDUAL);
  for (let at: usize = 0, bytes = bytesOf(pixels); at < bytes; at += 16) {
    const g = v128.load(pixels.work + at);
    const r = f32x4.mul(v128.load(residual + at), perHeight);
    const w = influence(pixels, size, 0, at);
    const freedom = f32x4.max(
      f32x4.splat(LEAST_FREEDOM),
      f32x4.sub(f32x4.splat(1), leverage(pixels, size, at)),
    );
    excess = f32x4.add(excess, f32x4.mul(g, f32x4.sub(f32x4.div(f32x4.mul(r, r), freedom), variance)));
    light = f32x4.add(light, f32x4.mul(g, g));
    const noise = f32x4.add(variance, f32x4.mul(photons, g));
    square = f32x4.add(square, f32x4.mul(f32x4.mul(w, w), noise));
    follow = f32x4.add(follow, w);
  }
  const byLevel = sum4(follow) / height;
  put(out, 0, entry(fit.gradient, OWN) / height);
  put(out, 1, Math.sqrt(sum4(square) + entry(star, LEVEL) * byLevel * byLevel));
  put(out, 2, (height * sum4(excess)) / sum4(light));
  return fit.isAtRest ? 1 : 2;
}

/**
 * Fit the star with gamma held. Returns as `voteOnGamma`.
 *
 * Results: covariance of (a, b, c): aa, ba, bb, ca, cb, cc; the residuals' variance beyond the noise per light of the star; sum of squared residuals; light of the star within these pixels;
 * full width at half maximum on the sensor (px) along the long axis and the short one.
 */
export function fitMoffat(
  pixelsAt: usize,
  stride: i32,
  count: i32,
  nodes: usize,
  nodeCount: i32,
  work: usize,
  star: usize,
): i32 {
  const pixels = fitPixels(pixelsAt, stride, count, nodes, nodeCount, work);
  const fit = fitAt(pixels, star, OWN);
  if (fit === null) return 0;
  memory.copy(factorAt, fit.normal, 8 * ROW * OWN);
  if (!factorise(factorAt, ROW, OWN)) return 0;
  for (let k = 0; k < 3; k += 1) inverseRow(OWN, 3 + k, k);
  const height = entry(star, 0);
  const variance = f32x4.splat(<f32>(entry(star, VARIANCE) / (height * height)));
  const photons = f32x4.splat(<f32>(entry(star, PHOTONS) / height));
  const perHeight = f32x4.splat(<f32>(1 / height));
  const zero = f32x4.splat(0);
  let excess = zero;
  let square = zero;
  let light = zero;
  let aa = zero;
  let ba = zero;
  let bb = zero;
  let ca = zero;
  let cb = zero;
  let cc = zero;
  let followA = zero;
  let followB = zero;
  let followC = zero;
  const residual = lineOf(pixels, RESIDUAL);
  for (let at: usize = 0, bytes = bytesOf(pixels); at < bytes; at += 16) {
    const g = v128.load(pixels.work + at);
    const r = f32x4.mul(v128.load(residual + at), perHeight);
    excess = f32x4.add(excess, f32x4.mul(g, f32x4.sub(f32x4.mul(r, r), variance)));
    square = f32x4.add(square, f32x4.mul(g, g));
    light = f32x4.add(light, g);
    const noise = f32x4.add(variance, f32x4.mul(photons, g));
    const a = influence(pixels, OWN, 0, at);
    const b = influence(pixels, OWN, 1, at);
    const c = influence(pixels, OWN, 2, at);
    followA = f32x4.add(followA, a);
    followB = f32x4.add(followB, b);
    followC = f32x4.add(followC, c);
    const na = f32x4.mul(noise, a);
    const nb = f32x4.mul(noise, b);
    aa = f32x4.add(aa, f32x4.mul(na, a));
    ba = f32x4.add(ba, f32x4.mul(na, b));
    ca = f32x4.add(ca, f32x4.mul(na, c));
    bb = f32x4.add(bb, f32x4.mul(nb, b));
    cb = f32x4.add(cb, f32x4.mul(nb, c));
    cc = f32x4.add(cc, f32x4.mul(f32x4.mul(noise, c), c));
  }
  const byLevel = entry(star, LEVEL) / (height * height);
  const fa = sum4(followA);
  const fb = sum4(followB);
  const fc = sum4(followC);
  const out = star + (RESULTS << 3);
  put(out, 0, sum4(aa) + byLevel * fa * fa);
  put(out, 1, sum4(ba) + byLevel * fb * fa);
  put(out, 2, sum4(bb) + byLevel * fb * fb);
  put(out, 3, sum4(ca) + byLevel * fc * fa);
  put(out, 4, sum4(cb) + byLevel * fc * fb);
  put(out, 5, sum4(cc) + byLevel * fc * fc);
  put(out, 6, (height * sum4(excess)) / sum4(square));
  put(out, 7, fit.cost);
  put(out, 8, height * sum4(light));
  const a = entry(star, 3);
  const b = entry(star, 4);
  const c = entry(star, 5);
  const mean = (a + c) / 2;
  const split = Math.sqrt(((a - c) * (a - c)) / 4 + b * b);
  // Cosine of twice the angle of the long axis, and from it that of the angle.
  const twice = split > 0 ? (c - a) / (2 * split) : 1;
  const cos = Math.sqrt(max(0.0, (1 + twice) / 2));
  const sin = Math.sqrt(max(0.0, (1 - twice) / 2)) * (b > 0 ? -1 : 1);
  put(out, 9, sensorWidth(star, nodes, nodeCount, cos, sin, 2 / Math.sqrt(max(mean - split, 1e-12))));
  put(out, 10, sensorWidth(star, nodes, nodeCount, -sin, cos, 2 / Math.sqrt(mean + split)));
  return fit.isAtRest ? 1 : 2;
}
