import type { StarDesk } from '../kernels/index.js';
import type { ChosenPixels } from './chosen-pixels.js';
import type { GammaVote } from './common-gamma.js';
import type { FittedStar } from './core-collector.js';
import { GAMMA_MAX, GAMMA_MIN, type MoffatShape } from './moffat-profile.js';
import { layNodes } from './placed-model.js';

/** Where a fit begins: 0-based place in the plane, and shape. */
export interface MoffatStart {
  readonly x: number;
  readonly y: number;
  readonly shape: MoffatShape;
}

export interface MoffatFitOptions {
  /** Of a pixel, ADU. */
  readonly noise: number;
  /** Error of the local background that was taken off, ADU: what it does to the shape goes into the covariance. */
  readonly pedestalError: number;
  /** Quadrature points of a pixel, see `pixelNodes`. */
  readonly nodes: Float64Array;
  /** Variance of a pixel in ADU^2 = noise^2 + photonFactor x (ADU of starlight): 1 / (electrons per ADU), 0 when unknown. */
  readonly photonFactor: number;
}

/** One fitted star: widths on the sensor (px), before the frame's core correction. */
export interface MoffatFit extends FittedStar {
  /** Covariance of (a, b, c), row-major 3 x 3. */
  readonly shapeCovariance: readonly number[];
  /** Residuals' excess variance per ADU of starlight: photon noise and misfit of the profile. */
  readonly excessFactor: number;
  /** Sum of squared residuals beyond that of noise, and that of noise, ADU^2. */
  readonly misfit: number;
  readonly expectedMisfit: number;
  readonly pixels: number;
  readonly converged: boolean;
}

/** A star's fit with gamma held, and which way its pixels would have it: to first order (one Newton step from the fit), with its error. */
export interface MoffatVote extends MoffatStart, GammaVote {
  /** As in `MoffatFit`, what the fit itself took out of the residuals given back. */
  readonly excessFactor: number;
  /** How the solution follows gamma: derivatives of x, y, a, b, c. */
  readonly slopes: readonly number[];
}

/** Parameters of a fit with gamma held: height, place (x, y), half-maximum ellipse (a, b, c). */
const OWN = 6;
const MOST_STEPS = 30;
/** The last step, which is taken, promises less than this part of the sum of squares: what is left after it is far below the noise. */
const AT_REST = 1e-5;
/** Or less than this part of the model's own: rounding of 32-bit floats. */
const ROUNDING = 1e-12;
/** Places in the kernels' record of a star (assembly/moffat-errors.ts): what is given and found, and the results of a fit and of a vote. */
const STAR = {
  ...{ height: 0, x: 1, y: 2, a: 3, b: 4, c: 5, gamma: 6, scale: 7 },
  ...{ mostSteps: 8, tolerance: 9, rounding: 10, variance: 11, photons: 12, levelVariance: 13 },
} as const;
const FIT = {
  ...{ aa: 14, ab: 15, bb: 16, ac: 17, bc: 18, cc: 19 },
  ...{ excess: 20, squares: 21, light: 22, major: 23, minor: 24 },
} as const;
const VOTE = { step: 14, error: 15, excess: 16, slopes: 17 } as const;

/**
 * Elliptical Moffat profile by least squares with equal weights on the pixels about one star (Moffat 1969; equal weights so that the width at half
 * maximum, not the wings, decides and does not depend on brightness), gamma held.
 *
 * Errors follow from the pixels' noise through the equal-weight solution. Null when too few usable pixels remain or the fit leaves what a star can be.
 */
export function fitMoffat(
  pixels: ChosenPixels,
  start: MoffatStart,
  options: MoffatFitOptions,
): MoffatFit | null {
  const { kernels, numbers } = pixels.desk;
  const status = fitOnDesk(kernels.fitMoffat, pixels, start, options);
  if (status === 0) return null;
  const { x0, y0, count } = pixels;
  const [a, b, c] = [numbers[STAR.a], numbers[STAR.b], numbers[STAR.c]];
  const light = numbers[FIT.light];
  const expectedMisfit = (1 - OWN / count) * (count * options.noise ** 2 + options.photonFactor * light);
  const [aa, ab, bb] = [numbers[FIT.aa], numbers[FIT.ab], numbers[FIT.bb]];
  const [ac, bc, cc] = [numbers[FIT.ac], numbers[FIT.bc], numbers[FIT.cc]];
  return {
    x: numbers[STAR.x] + x0,
    y: numbers[STAR.y] + y0,
    peak: numbers[STAR.height],
    shape: { a, b, c, gamma: start.shape.gamma },
    shapeCovariance: [aa, ab, ac, ab, bb, bc, ac, bc, cc],
    major: numbers[FIT.major],
    minor: numbers[FIT.minor],
    angle: 0.5 * Math.atan2(-2 * b, c - a),
    excessFactor: numbers[FIT.excess],
    misfit: numbers[FIT.squares] - expectedMisfit,
    expectedMisfit,
    pixels: count,
    converged: status === 1,
  };
}

/** Fit as `fitMoffat` does, and ask the pixels for their gamma. */
export function voteOnGamma(
  pixels: ChosenPixels,
  start: MoffatStart,
  options: MoffatFitOptions,
): MoffatVote | null {
  const { kernels, numbers } = pixels.desk;
  if (fitOnDesk(kernels.voteOnGamma, pixels, start, options) === 0) return null;
  const from = VOTE.slopes;
  return {
    x: numbers[STAR.x] + pixels.x0,
    y: numbers[STAR.y] + pixels.y0,
    shape: { a: numbers[STAR.a], b: numbers[STAR.b], c: numbers[STAR.c], gamma: start.shape.gamma },
    gammaStep: numbers[VOTE.step],
    gammaError: numbers[VOTE.error],
    excessFactor: numbers[VOTE.excess],
    slopes: [numbers[from], numbers[from + 1], numbers[from + 2], numbers[from + 3], numbers[from + 4]],
  };
}

/** Where a star that was asked at one gamma begins at another. */
export function startFromVote({ x, y, shape, slopes }: MoffatVote, gamma: number): MoffatStart {
  const by = gamma - shape.gamma;
  const a = shape.a + by * slopes[2];
  const b = shape.b + by * slopes[3];
  const c = shape.c + by * slopes[4];
  if (!(a > 0 && a * c > b * b)) return { x, y, shape: { ...shape, gamma } };
  return { x: x + by * slopes[0], y: y + by * slopes[1], shape: { a, b, c, gamma } };
}

/** Half-maximum ellipse, before the pixel, of a Gaussian with these second moments (px^2); null when they leave none. `nodes`: see `pixelNodes`. */
export function shapeFromMoments(
  { mxx, mxy, myy }: { readonly mxx: number; readonly mxy: number; readonly myy: number },
  nodes: Float64Array,
  gamma: number,
): MoffatShape | null {
  // The pixel's own 1/12 px^2 taken off when it is modelled.
  const pixel = nodes.length > 3 ? 1 / 12 : 0;
  const xx = Math.max(mxx - pixel, 0.05);
  const yy = Math.max(myy - pixel, 0.05);
  const determinant = 2 * Math.LN2 * (xx * yy - mxy * mxy);
  if (!(determinant > 0)) return null;
  return { a: yy / determinant, b: -mxy / determinant, c: xx / determinant, gamma };
}

/** The kernel's answer: 0 when there is no star, 1 for a fit at rest, 2 for one that did not come to rest. */
function fitOnDesk(
  kernel: StarDesk['kernels']['fitMoffat'],
  { desk, x0, y0, x, y, radiusPx, count }: ChosenPixels,
  start: MoffatStart,
  options: MoffatFitOptions,
): number {
  const { a, b, c, gamma } = start.shape;
  if (count < OWN + 4 || !(gamma > GAMMA_MIN && gamma < GAMMA_MAX)) return 0;
  const { numbers, numbersAt } = desk;
  numbers[STAR.x] = start.x - x0;
  numbers[STAR.y] = start.y - y0;
  numbers[STAR.a] = a;
  numbers[STAR.b] = b;
  numbers[STAR.c] = c;
  numbers[STAR.gamma] = gamma;
  numbers[STAR.scale] = 2 ** gamma - 1;
  numbers[STAR.mostSteps] = MOST_STEPS;
  numbers[STAR.tolerance] = AT_REST;
  numbers[STAR.rounding] = ROUNDING;
  numbers[STAR.variance] = options.noise ** 2;
  numbers[STAR.photons] = options.photonFactor;
  numbers[STAR.levelVariance] = options.pedestalError ** 2;
  const { pixels, stride, nodesAt, nodeCount, work } = layNodes(desk, options.nodes);
  const status = kernel(pixels, stride, count, nodesAt, nodeCount, work, numbersAt);
  const isNear = Math.hypot(numbers[STAR.x] + x0 - x, numbers[STAR.y] + y0 - y) <= radiusPx / 2;
  return isNear && numbers[STAR.height] > 0 ? status : 0;
}
