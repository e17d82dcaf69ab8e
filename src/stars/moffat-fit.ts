import { choleskyInPlace, choleskyInverse, levenbergMarquardt } from '../stats/index.js';
import { choosePixels, type ChosenPixels } from './chosen-pixels.js';
import { GAMMA_MAX, GAMMA_MIN, moffatHeight, type MoffatShape } from './moffat-profile.js';
import { sandwichCovariance } from './sandwich-covariance.js';
import type { StarWindow } from './star-window.js';

export interface MoffatStart {
  /** 0-based position in the plane. */
  readonly x: number;
  readonly y: number;
  /** Second moments of the star image, pixel^2. */
  readonly mxx: number;
  readonly mxy: number;
  readonly myy: number;
  /** 1 / beta. */
  readonly gamma: number;
}

export interface MoffatFitOptions {
  /** Local background above the window's sky, ADU: held fixed. */
  readonly pedestal: number;
  /** Pixels farther than this from the start position are not used. */
  readonly radiusPx: number;
  /** Quadrature points of a pixel, see `pixelNodes`. */
  readonly nodes: Float64Array;
  readonly isGammaFree: boolean;
  /** Variance of a pixel in ADU^2 = noise^2 + photonFactor x (ADU of starlight): 1 / (electrons per ADU), 0 when unknown. */
  readonly photonFactor: number;
}

export interface MoffatFit {
  readonly x: number;
  readonly y: number;
  /** Height before the pixel, ADU. */
  readonly peak: number;
  readonly shape: MoffatShape;
  /** Covariance of (a, b, c), row-major 3 x 3. */
  readonly shapeCovariance: Float64Array;
  readonly gammaError: number;
  /** Residuals' excess variance per ADU of starlight: photon noise and misfit of the profile. */
  readonly excessFactor: number;
  readonly pixels: number;
  readonly converged: boolean;
}

/** Derivatives of the model at one pixel: height, x, y, a, b, c, gamma. */
const derivative = new Float64Array(7);

/** Model at one pixel, its derivatives left in `derivative`. */
function modelAt(
  p: Float64Array,
  gamma: number,
  scale: number,
  nodes: Float64Array,
  px: number,
  py: number,
): number {
  const height = p[0];
  const a = p[3];
  const b = p[4];
  const c = p[5];
  const isGaussian = Math.abs(gamma) < 1e-4;
  let g = 0;
  let gx = 0;
  let gy = 0;
  let ga = 0;
  let gb = 0;
  let gc = 0;
  let gGamma = 0;
  for (let k = 0; k < nodes.length; k += 3) {
    const dx = px - p[1] + nodes[k];
    const dy = py - p[2] + nodes[k + 1];
    const q = a * dx * dx + 2 * b * dx * dy + c * dy * dy;
    let f: number;
    // -d ln f / dq
    let slope: number;
    if (isGaussian) {
      f = nodes[k + 2] * Math.exp(-Math.LN2 * q);
      slope = Math.LN2;
      gGamma -= f * 0.5 * Math.LN2 * Math.LN2 * q * (1 - q);
    } else {
      const base = 1 + scale * q;
      if (base <= 0) continue;
      const log = Math.log(base);
      f = nodes[k + 2] * Math.exp(-log / gamma);
      slope = scale / (gamma * base);
      gGamma += f * (log / (gamma * gamma) - ((scale + 1) * Math.LN2 * q) / (gamma * base));
    }
    const fs = f * slope;
    g += f;
    gx += 2 * fs * (a * dx + b * dy);
    gy += 2 * fs * (b * dx + c * dy);
    ga -= fs * dx * dx;
    gb -= 2 * fs * dx * dy;
    gc -= fs * dy * dy;
  }
  derivative[0] = g;
  derivative[1] = height * gx;
  derivative[2] = height * gy;
  derivative[3] = height * ga;
  derivative[4] = height * gb;
  derivative[5] = height * gc;
  derivative[6] = height * gGamma;
  return height * g;
}

/**
 * Elliptical Moffat profile by least squares with equal weights on the pixels about one star (Moffat 1969; equal weights so that the width at half
 * maximum, not the wings, decides and does not depend on brightness).
 *
 * Errors follow from the pixels' noise through the equal-weight solution. Null when too few usable pixels remain or the fit leaves what a star can be.
 */
export function fitMoffat(
  window: StarWindow,
  start: MoffatStart,
  options: MoffatFitOptions,
): MoffatFit | null {
  const { nodes } = options;
  const pixels = choosePixels(window, start.x, start.y, options.radiusPx, options.pedestal);
  const { count, x: px, y: py, value } = pixels;
  const size = options.isGammaFree ? 7 : 6;
  if (count < size + 4) return null;
  const gammaOf = (p: Float64Array): number => (options.isGammaFree ? p[6] : start.gamma);

  const problem = (p: Float64Array, normal: Float64Array, gradient: Float64Array): number => {
    const gamma = gammaOf(p);
    if (!isPossible(p, gamma)) return Infinity;
    const scale = 2 ** gamma - 1;
    normal.fill(0);
    gradient.fill(0);
    let cost = 0;
    for (let i = 0; i < count; i += 1) {
      const r = value[i] - modelAt(p, gamma, scale, nodes, px[i], py[i]);
      cost += r * r;
      for (let u = 0; u < size; u += 1) {
        const d = derivative[u];
        gradient[u] += d * r;
        for (let v = 0; v <= u; v += 1) normal[u * size + v] += d * derivative[v];
      }
    }
    return cost;
  };
  const first = startParameters(start, nodes, pixels, options.isGammaFree);
  if (first === null) return null;
  const fit = levenbergMarquardt(problem, first, { maxIterations: 30, costTolerance: 1e-5 });
  const p = fit.parameters;
  if (!(p[0] > 0) || Math.hypot(p[1] - start.x, p[2] - start.y) > options.radiusPx / 2) return null;
  const factor = Float64Array.from(fit.normal);
  if (!choleskyInPlace(factor, size)) return null;
  const inverse = choleskyInverse(factor, size);

  const gamma = gammaOf(p);
  const scale = 2 ** gamma - 1;
  const middle = new Float64Array(size * size);
  const variance = window.noise * window.noise;
  let excess = 0;
  let light = 0;
  for (let i = 0; i < count; i += 1) {
    const model = modelAt(p, gamma, scale, nodes, px[i], py[i]);
    const noise = variance + options.photonFactor * Math.max(0, model);
    const r = value[i] - model;
    // The fit bends towards the pixels that rule it: their residuals are smaller than their errors by 1 - leverage.
    const freedom = options.isGammaFree ? Math.max(0.2, 1 - leverage(inverse, size)) : 1;
    excess += ((r * r) / freedom - variance) * model;
    light += model * model;
    for (let u = 0; u < size; u += 1) {
      for (let v = 0; v < size; v += 1) middle[u * size + v] += noise * derivative[u] * derivative[v];
    }
  }
  const covariance = sandwichCovariance(inverse, middle, size);
  const shapeCovariance = new Float64Array(9);
  for (let u = 0; u < 3; u += 1) {
    for (let v = 0; v < 3; v += 1) shapeCovariance[3 * u + v] = covariance[(u + 3) * size + v + 3];
  }
  return {
    x: p[1],
    y: p[2],
    peak: p[0],
    shape: { a: p[3], b: p[4], c: p[5], gamma },
    shapeCovariance,
    gammaError: options.isGammaFree ? Math.sqrt(Math.max(0, covariance[size * size - 1])) : NaN,
    excessFactor: light > 0 ? excess / light : NaN,
    pixels: count,
    converged: fit.converged,
  };
}

/** Leverage of the pixel whose derivatives are at hand: d^T (J^T J)^-1 d (Hoaglin & Welsch 1978). */
function leverage(inverse: Float64Array, size: number): number {
  let sum = 0;
  for (let u = 0; u < size; u += 1) {
    for (let v = 0; v < size; v += 1) sum += derivative[u] * inverse[u * size + v] * derivative[v];
  }
  return sum;
}

function isPossible(p: Float64Array, gamma: number): boolean {
  const [, , , a, b, c] = p;
  return a > 0 && c > 0 && a * c - b * b > 0 && gamma > GAMMA_MIN && gamma < GAMMA_MAX;
}

function startParameters(
  start: MoffatStart,
  nodes: Float64Array,
  pixels: ChosenPixels,
  isGammaFree: boolean,
): number[] | null {
  // The half-maximum ellipse of a Gaussian with these moments; the pixel's own 1/12 px^2 taken off when it is modelled.
  const pixel = nodes.length > 3 ? 1 / 12 : 0;
  const xx = Math.max(start.mxx - pixel, 0.05);
  const yy = Math.max(start.myy - pixel, 0.05);
  const xy = start.mxy;
  const determinant = 2 * Math.LN2 * (xx * yy - xy * xy);
  if (!(determinant > 0)) return null;
  const shape = { a: yy / determinant, b: -xy / determinant, c: xx / determinant, gamma: start.gamma };
  // Best height for this shape.
  let up = 0;
  let down = 0;
  for (let i = 0; i < pixels.count; i += 1) {
    const g = moffatHeight(shape, nodes, pixels.x[i] - start.x, pixels.y[i] - start.y);
    up += g * pixels.value[i];
    down += g * g;
  }
  if (!(up > 0)) return null;
  const parameters = [up / down, start.x, start.y, shape.a, shape.b, shape.c];
  if (isGammaFree) parameters.push(start.gamma);
  return parameters;
}
