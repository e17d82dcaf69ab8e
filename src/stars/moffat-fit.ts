import {
  choleskyInPlace,
  choleskyInverse,
  choleskySolveInPlace,
  levenbergMarquardt,
} from '../stats/index.js';
import { choosePixels } from './chosen-pixels.js';
import { GAMMA_MAX, GAMMA_MIN, type MoffatShape } from './moffat-profile.js';
import { placeModel, type PlacedModel } from './placed-model.js';
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
  /** Its error, ADU: what it does to the shape goes into the covariance. */
  readonly pedestalError: number;
  /** Pixels farther than this from the start position are not used. */
  readonly radiusPx: number;
  /** Quadrature points of a pixel, see `pixelNodes`. */
  readonly nodes: Float64Array;
  /** Whether the fit, made with gamma held, is to say which way its pixels would have it. */
  readonly asksGamma: boolean;
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
  /** Where asked for: what these pixels would add to gamma, to first order (one Newton step from the fit), and its error; NaN else. */
  readonly gammaStep: number;
  readonly gammaError: number;
  /** Residuals' excess variance per ADU of starlight: photon noise and misfit of the profile. */
  readonly excessFactor: number;
  /** Sum of squared residuals beyond that of noise, and that of noise, ADU^2. */
  readonly misfit: number;
  readonly expectedMisfit: number;
  readonly pixels: number;
  readonly converged: boolean;
}

/** Parameters of a fit with gamma held: height, place (x, y), half-maximum ellipse (a, b, c). */
const OWN = 6;

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
  const pixels = choosePixels(window, start.x, start.y, options.radiusPx, options.pedestal);
  const { count } = pixels;
  const { gamma } = start;
  if (count < OWN + 4) return null;
  const model = placeModel(window.desk, count, options.nodes, OWN);

  const problem = (p: Float64Array, normal: Float64Array, gradient: Float64Array): number => {
    if (!isPossible(p, gamma)) return Infinity;
    const cost = model.sums(p, gamma);
    normal.set(model.normal);
    gradient.set(model.gradient);
    return cost;
  };
  const first = startParameters(window, start, options.nodes, model);
  if (first === null) return null;
  const fit = levenbergMarquardt(problem, first, { maxIterations: 30, costTolerance: 1e-5 });
  const p = fit.parameters;
  const x = p[1] + window.x0;
  const y = p[2] + window.y0;
  if (!(p[0] > 0) || Math.hypot(x - start.x, y - start.y) > options.radiusPx / 2) return null;
  const size = options.asksGamma ? OWN + 1 : OWN;
  const solved = placeModel(window.desk, count, options.nodes, size);
  const cost = solved.sums(p, gamma);
  const factor = solved.normal.slice();
  if (!choleskyInPlace(factor, size)) return null;
  const step = solved.gradient.slice();
  choleskySolveInPlace(factor, size, step);
  const inverse = choleskyInverse(factor, size);
  // The fit bends towards the pixels that rule it: their residuals are smaller than their errors by 1 - leverage (Hoaglin & Welsch 1978).
  const { middle, excess, light } = solved.noise(
    window.noise * window.noise,
    options.photonFactor,
    options.asksGamma ? inverse : null,
  );
  const covariance = sandwichCovariance(inverse, middle, size);
  // Parameters follow a level that lies wrong by one ADU as they would follow one ADU more in every pixel.
  const follow = Float64Array.from(step, (_, k) => solved.derivative(k).reduce((sum, d) => sum + d, 0));
  choleskySolveInPlace(factor, size, follow);
  for (let u = 0; u < size; u += 1)
    for (let v = 0; v < size; v += 1)
      covariance[u * size + v] += options.pedestalError ** 2 * follow[u] * follow[v];
  const starlight = p[0] * solved.derivative(0).reduce((sum, d) => sum + d, 0);
  const expected = (1 - size / count) * (count * window.noise ** 2 + options.photonFactor * starlight);
  const shapeCovariance = new Float64Array(9);
  for (let u = 0; u < 3; u += 1) {
    for (let v = 0; v < 3; v += 1) shapeCovariance[3 * u + v] = covariance[(u + 3) * size + v + 3];
  }
  return {
    x,
    y,
    peak: p[0],
    shape: { a: p[3], b: p[4], c: p[5], gamma },
    shapeCovariance,
    gammaStep: options.asksGamma ? step[OWN] : NaN,
    gammaError: options.asksGamma ? Math.sqrt(Math.max(0, covariance[size * size - 1])) : NaN,
    excessFactor: light > 0 ? excess / light : NaN,
    misfit: cost - expected,
    expectedMisfit: expected,
    pixels: count,
    converged: fit.converged,
  };
}

function isPossible(p: Float64Array, gamma: number): boolean {
  const [, , , a, b, c] = p;
  return a > 0 && c > 0 && a * c - b * b > 0 && gamma > GAMMA_MIN && gamma < GAMMA_MAX;
}

function startParameters(
  window: StarWindow,
  start: MoffatStart,
  nodes: Float64Array,
  model: PlacedModel,
): number[] | null {
  // The half-maximum ellipse of a Gaussian with these moments; the pixel's own 1/12 px^2 taken off when it is modelled.
  const pixel = nodes.length > 3 ? 1 / 12 : 0;
  const xx = Math.max(start.mxx - pixel, 0.05);
  const yy = Math.max(start.myy - pixel, 0.05);
  const xy = start.mxy;
  const determinant = 2 * Math.LN2 * (xx * yy - xy * xy);
  if (!(determinant > 0)) return null;
  const parameters = [
    1,
    start.x - window.x0,
    start.y - window.y0,
    yy / determinant,
    -xy / determinant,
    xx / determinant,
  ];
  // Best height for this shape: with g the profile of height 1, sum(g v) / sum(g^2).
  model.sums(parameters, start.gamma);
  const square = model.normal[0];
  parameters[0] = (model.gradient[0] + square) / square;
  if (!(parameters[0] > 0)) return null;
  return parameters;
}
