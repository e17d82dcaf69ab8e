import { choleskyInPlace, choleskyInverse } from '../stats/cholesky.js';
import { levenbergMarquardt } from '../stats/levenberg-marquardt.js';
import { moffatHeight, type MoffatShape } from './moffat-profile.js';
import type { StarWindow } from './star-window.js';

export interface MoffatStart {
  /** 0-based position in the plane. */
  readonly x: number;
  readonly y: number;
  /** Second moments of the star image, pixel^2. */
  readonly mxx: number;
  readonly mxy: number;
  readonly myy: number;
  readonly beta: number;
}

export interface MoffatFitOptions {
  /** Local background above the window's sky, ADU: held fixed. */
  readonly pedestal: number;
  /** Pixels farther than this from the start position are not used. */
  readonly radiusPx: number;
  /** Quadrature points of a pixel, see `pixelNodes`. */
  readonly nodes: Float64Array;
  readonly isBetaFree: boolean;
  /** Variance of a pixel in ADU^2 = noise^2 + photonFactor x (ADU of starlight): 1 / (electrons per ADU), 0 when unknown. */
  readonly photonFactor: number;
}

export interface MoffatFit {
  readonly x: number;
  readonly y: number;
  readonly peak: number;
  readonly shape: MoffatShape;
  /** Covariance of (a, b, c), row-major 3 x 3. */
  readonly shapeCovariance: Float64Array;
  readonly betaError: number;
  /** Residuals' excess variance per ADU of starlight: photon noise and misfit of the profile. */
  readonly excessFactor: number;
  readonly pixels: number;
  readonly converged: boolean;
}

const BETA_MIN = 1.2;
const BETA_MAX = 40;

/**
 * Elliptical Moffat profile by least squares with equal weights on the pixels about one star (Moffat 1969; equal weights so that the width at half maximum,
 * not the wings, decides and does not depend on brightness).
 *
 * Errors follow from the pixels' noise through the equal-weight solution ("sandwich" covariance, White 1980). Null when fewer than 10 usable pixels remain
 * or the fit leaves what a star can be.
 */
export function fitMoffat(
  window: StarWindow,
  start: MoffatStart,
  options: MoffatFitOptions,
): MoffatFit | null {
  const { nodes, pedestal } = options;
  const pixels = choosePixels(window, start.x, start.y, options.radiusPx);
  const n = pixels.count;
  const size = options.isBetaFree ? 7 : 6;
  if (n < size + 4) return null;
  const px = pixels.x;
  const py = pixels.y;
  const pv = pixels.value;
  for (let i = 0; i < n; i += 1) pv[i] -= pedestal;

  const derivative = new Float64Array(7);
  const visit = (p: Float64Array, each: (i: number, model: number) => void): boolean => {
    const [height, x, y, a, b, c] = p;
    const beta = options.isBetaFree ? p[6] : start.beta;
    if (!(a > 0) || !(c > 0) || !(a * c - b * b > 0) || !(beta > BETA_MIN && beta < BETA_MAX)) return false;
    for (let i = 0; i < n; i += 1) {
      let g = 0;
      let gx = 0;
      let gy = 0;
      let ga = 0;
      let gb = 0;
      let gc = 0;
      let gBeta = 0;
      for (let k = 0; k < nodes.length; k += 3) {
        const dx = px[i] - x + nodes[k];
        const dy = py[i] - y + nodes[k + 1];
        const base = 1 + a * dx * dx + 2 * b * dx * dy + c * dy * dy;
        const log = Math.log(base);
        const f = nodes[k + 2] * Math.exp(-beta * log);
        const slope = (beta * f) / base;
        g += f;
        gx += 2 * slope * (a * dx + b * dy);
        gy += 2 * slope * (b * dx + c * dy);
        ga -= slope * dx * dx;
        gb -= 2 * slope * dx * dy;
        gc -= slope * dy * dy;
        gBeta -= f * log;
      }
      derivative[0] = g;
      derivative[1] = height * gx;
      derivative[2] = height * gy;
      derivative[3] = height * ga;
      derivative[4] = height * gb;
      derivative[5] = height * gc;
      derivative[6] = height * gBeta;
      each(i, height * g);
    }
    return true;
  };

  const problem = (p: Float64Array, normal: Float64Array, gradient: Float64Array): number => {
    normal.fill(0);
    gradient.fill(0);
    let cost = 0;
    const isDefined = visit(p, (i, model) => {
      const r = pv[i] - model;
      cost += r * r;
      for (let u = 0; u < size; u += 1) {
        const d = derivative[u];
        gradient[u] += d * r;
        for (let v = 0; v <= u; v += 1) normal[u * size + v] += d * derivative[v];
      }
    });
    return isDefined ? cost : Infinity;
  };

  const first = startParameters(start, nodes, pixels, options.isBetaFree);
  if (first === null) return null;
  const fit = levenbergMarquardt(problem, first, { maxIterations: 30, costTolerance: 1e-5 });
  const p = fit.parameters;
  if (!(p[0] > 0) || Math.hypot(p[1] - start.x, p[2] - start.y) > options.radiusPx / 2) return null;
  const factor = Float64Array.from(fit.normal);
  if (!choleskyInPlace(factor, size)) return null;
  const inverse = choleskyInverse(factor, size);

  // Noise through the equal-weight solution, and how much the residuals exceed the sky's noise.
  const middle = new Float64Array(size * size);
  const variance = window.noise * window.noise;
  let excess = 0;
  let light = 0;
  visit(p, (i, model) => {
    const noise = variance + options.photonFactor * Math.max(0, model);
    const r = pv[i] - model;
    excess += (r * r - variance) * model;
    light += model * model;
    for (let u = 0; u < size; u += 1) {
      for (let v = 0; v < size; v += 1) middle[u * size + v] += noise * derivative[u] * derivative[v];
    }
  });
  const covariance = sandwich(inverse, middle, size);
  const shapeCovariance = new Float64Array(9);
  for (let u = 0; u < 3; u += 1) {
    for (let v = 0; v < 3; v += 1) shapeCovariance[3 * u + v] = covariance[(u + 3) * size + v + 3];
  }
  return {
    x: p[1],
    y: p[2],
    peak: p[0],
    shape: { a: p[3], b: p[4], c: p[5], beta: options.isBetaFree ? p[6] : start.beta },
    shapeCovariance,
    betaError: options.isBetaFree ? Math.sqrt(Math.max(0, covariance[size * size - 1])) : NaN,
    excessFactor: light > 0 ? excess / light : NaN,
    pixels: n,
    converged: fit.converged,
  };
}

const buffers = {
  x: new Float64Array(256),
  y: new Float64Array(256),
  value: new Float64Array(256),
  count: 0,
};

function choosePixels(window: StarWindow, x: number, y: number, radiusPx: number): typeof buffers {
  const limit = radiusPx * radiusPx;
  const room = Math.ceil(4 * (radiusPx + 2) * (radiusPx + 2));
  if (buffers.x.length < room) {
    buffers.x = new Float64Array(room);
    buffers.y = new Float64Array(room);
    buffers.value = new Float64Array(room);
  }
  let n = 0;
  for (let j = 0; j < window.height; j += 1) {
    const dy = window.y0 + j - y;
    if (dy * dy > limit) continue;
    for (let i = 0; i < window.width; i += 1) {
      const dx = window.x0 + i - x;
      const k = j * window.width + i;
      if (!window.usable[k] || dx * dx + dy * dy > limit) continue;
      buffers.x[n] = window.x0 + i;
      buffers.y[n] = window.y0 + j;
      buffers.value[n] = window.values[k];
      n += 1;
    }
  }
  buffers.count = n;
  return buffers;
}

function startParameters(
  start: MoffatStart,
  nodes: Float64Array,
  pixels: typeof buffers,
  isBetaFree: boolean,
): number[] | null {
  // A Moffat whose half-maximum ellipse is that of a Gaussian with these moments; the pixel's own 1/12 px^2 taken off when it is modelled.
  const pixel = nodes.length > 3 ? 1 / 12 : 0;
  const xx = Math.max(start.mxx - pixel, 0.05);
  const yy = Math.max(start.myy - pixel, 0.05);
  const xy = start.mxy;
  const determinant = xx * yy - xy * xy;
  if (!(determinant > 0)) return null;
  const scale = (2 ** (1 / start.beta) - 1) / (2 * Math.LN2);
  const shape = {
    a: (scale * yy) / determinant,
    b: (-scale * xy) / determinant,
    c: (scale * xx) / determinant,
    beta: start.beta,
  };
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
  if (isBetaFree) parameters.push(start.beta);
  return parameters;
}

/** inverse x middle x inverse. */
function sandwich(inverse: Float64Array, middle: Float64Array, n: number): Float64Array {
  const half = new Float64Array(n * n);
  const result = new Float64Array(n * n);
  for (let i = 0; i < n; i += 1) {
    for (let j = 0; j < n; j += 1) {
      let sum = 0;
      for (let k = 0; k < n; k += 1) sum += inverse[i * n + k] * middle[k * n + j];
      half[i * n + j] = sum;
    }
  }
  for (let i = 0; i < n; i += 1) {
    for (let j = 0; j < n; j += 1) {
      let sum = 0;
      for (let k = 0; k < n; k += 1) sum += half[i * n + k] * inverse[k * n + j];
      result[i * n + j] = sum;
    }
  }
  return result;
}
