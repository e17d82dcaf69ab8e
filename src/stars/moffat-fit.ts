import { choleskyInPlace, choleskyInverse, levenbergMarquardt } from '../stats/index.js';
import { starDesk } from '../kernels/index.js';
import { choosePixels, PIXEL_LINES, type ChosenPixels } from './chosen-pixels.js';
import { GAMMA_MAX, GAMMA_MIN, type MoffatShape } from './moffat-profile.js';
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
  const size = options.isGammaFree ? 7 : 6;
  if (count < size + 4) return null;
  const gammaOf = (p: Float64Array): number => (options.isGammaFree ? p[6] : start.gamma);
  const model = placeModel(pixels, options.nodes, size);

  const problem = (p: Float64Array, normal: Float64Array, gradient: Float64Array): number => {
    if (!isPossible(p, gammaOf(p))) return Infinity;
    const cost = model.sums(p, gammaOf(p));
    normal.set(model.normal);
    gradient.set(model.gradient);
    return cost;
  };
  const first = startParameters(window, start, options, model);
  if (first === null) return null;
  const fit = levenbergMarquardt(problem, first, { maxIterations: 30, costTolerance: 1e-5 });
  const p = fit.parameters;
  const x = p[1] + window.x0;
  const y = p[2] + window.y0;
  if (!(p[0] > 0) || Math.hypot(x - start.x, y - start.y) > options.radiusPx / 2) return null;
  const factor = Float64Array.from(fit.normal);
  if (!choleskyInPlace(factor, size)) return null;
  const inverse = choleskyInverse(factor, size);

  const gamma = gammaOf(p);
  model.sums(p, gamma);
  // The fit bends towards the pixels that rule it: their residuals are smaller than their errors by 1 - leverage (Hoaglin & Welsch 1978).
  const { middle, excess, light } = model.noise(
    window.noise * window.noise,
    options.photonFactor,
    options.isGammaFree ? inverse : null,
  );
  const covariance = sandwichCovariance(inverse, middle, size);
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
    gammaError: options.isGammaFree ? Math.sqrt(Math.max(0, covariance[size * size - 1])) : NaN,
    excessFactor: light > 0 ? excess / light : NaN,
    pixels: count,
    converged: fit.converged,
  };
}

/** The profile on the thread's desk: sums over the pixels of one star. */
interface PlacedModel {
  /** Fills `normal` (lower half) and `gradient` for the parameters at hand; returns the sum of squared residuals. */
  readonly sums: (p: ArrayLike<number>, gamma: number) => number;
  readonly normal: Float64Array;
  readonly gradient: Float64Array;
  /** After `sums`: J^T N J and the residuals' excess; see the kernel `moffatNoise`. */
  readonly noise: (
    variance: number,
    photonFactor: number,
    inverse: Float64Array | null,
  ) => { readonly middle: Float64Array; readonly excess: number; readonly light: number };
}

/** Where the numbers of a fit lie on the desk, counted in doubles. */
const PLACES = { parameters: 0, gradient: 8, normal: 16, middle: 72, inverse: 128, results: 184, nodes: 192 };
/** First line of the model's own. */
const WORK_LINE = 3;

function placeModel(pixels: ChosenPixels, nodes: Float64Array, size: number): PlacedModel {
  // Lines as short as the star: they stay together in the fastest memory.
  const stride = (pixels.count + 19) & ~15;
  const { kernels, numbers, numbersAt, linesAt } = starDesk(pixels.count);
  const at = (place: number): number => numbersAt + 8 * place;
  const view = (place: number, count: number): Float64Array => numbers.subarray(place, place + count);
  new Float32Array(numbers.buffer, at(PLACES.nodes), nodes.length).set(nodes);
  const work = linesAt[WORK_LINE];
  return {
    normal: view(PLACES.normal, size * size),
    gradient: view(PLACES.gradient, size),
    sums: (p, gamma) => {
      for (let k = 0; k < 6; k += 1) numbers[PLACES.parameters + k] = p[k];
      numbers[PLACES.parameters + 6] = gamma;
      numbers[PLACES.parameters + 7] = 2 ** gamma - 1;
      return kernels.moffatSums(
        linesAt[PIXEL_LINES.x],
        linesAt[PIXEL_LINES.y],
        linesAt[PIXEL_LINES.value],
        pixels.count,
        at(PLACES.nodes),
        nodes.length / 3,
        at(PLACES.parameters),
        size,
        work,
        stride,
        at(PLACES.normal),
        at(PLACES.gradient),
      );
    },
    noise: (variance, photonFactor, inverse) => {
      if (inverse !== null) view(PLACES.inverse, size * size).set(inverse);
      kernels.moffatNoise(
        pixels.count,
        size,
        work,
        stride,
        variance,
        photonFactor,
        inverse === null ? 0 : at(PLACES.inverse),
        at(PLACES.middle),
        at(PLACES.results),
      );
      return {
        middle: view(PLACES.middle, size * size),
        excess: numbers[PLACES.results],
        light: numbers[PLACES.results + 1],
      };
    },
  };
}

function isPossible(p: Float64Array, gamma: number): boolean {
  const [, , , a, b, c] = p;
  return a > 0 && c > 0 && a * c - b * b > 0 && gamma > GAMMA_MIN && gamma < GAMMA_MAX;
}

function startParameters(
  window: StarWindow,
  start: MoffatStart,
  { nodes, isGammaFree }: MoffatFitOptions,
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
  if (isGammaFree) parameters.push(start.gamma);
  return parameters;
}
