import { choleskyInPlace, choleskyInverse, choleskySolveInPlace } from '../stats/index.js';
import type { ChosenPixels } from './chosen-pixels.js';
import type { MoffatFit, MoffatFitOptions } from './moffat-fit.js';
import { GAMMA_MAX, GAMMA_MIN } from './moffat-profile.js';
import { placeModel, type PlacedModel } from './placed-model.js';

/** Ellipticity of a star's half-maximum ellipse before the pixel, components as in `StarTable`, and the standard error of each. */
export interface WeightedShape {
  readonly e1: number;
  readonly e2: number;
  readonly error: number;
}

/** Parameters: height, x, y, a, b, c, gamma. */
const SIZE = 7;
const A = 3;
/** The fit with equal weights lies so near that two Gauss-Newton steps leave nothing worth a third. */
const STEPS = 2;

/**
 * The ellipticity of a star by least squares with each pixel weighted by its own noise, starlight included: of all unbiased ones the best known (Aitken 1935), a third better for bright
 * stars than the equal-weight fit it starts from. Its exponent is free, as the wings, which have more of a say here, need not follow the frame's.
 *
 * `pixels`: usable ones about the star, on their desk, out to where the light ends in the noise. Null when they are too few or the steps leave what a star can be.
 */
export function weightedShape(
  pixels: ChosenPixels,
  star: Pick<MoffatFit, 'x' | 'y' | 'peak' | 'shape'>,
  options: MoffatFitOptions,
): WeightedShape | null {
  if (pixels.count < SIZE + 4) return null;
  const { a, b, c, gamma } = star.shape;
  const model = placeModel(pixels, options.nodes);
  const p = [star.peak, star.x - pixels.x0, star.y - pixels.y0, a, b, c, gamma];
  let system: WeightedSystem | null = null;
  for (let step = 0; step < STEPS; step += 1) {
    if (!isStar(p)) return null;
    system = weightedSystem(model, p, options);
    if (system === null) return null;
    // The lines are those of a star of height 1.
    const height = p[0];
    for (let u = 0; u < SIZE; u += 1) p[u] += system.step[u] / (u === 0 ? 1 : height);
  }
  return system !== null && isStar(p) ? describe(p, system, options.pedestalError) : null;
}

function isStar([height, , , a, b, c, gamma]: readonly number[]): boolean {
  return height > 0 && a > 0 && a * c > b * b && gamma > GAMMA_MIN && gamma < GAMMA_MAX;
}

interface WeightedSystem {
  readonly step: Float64Array;
  /** Covariance of the step, row-major. */
  readonly covariance: Float64Array;
  /** How the step follows the level of the sky. */
  readonly follow: Float64Array;
}

/** Place of the sums on the desk, in doubles, behind those of `placeModel`. */
const SUMS = 96;
/** Where row u of the lower half of a matrix begins there. */
const row = (u: number): number => SUMS + (u * (u + 1)) / 2;

/** Normal equations at `p` with the weights 1 / variance, solved; null when the pixels do not tell the parameters apart. */
function weightedSystem(
  model: PlacedModel,
  p: readonly number[],
  { noise, photonFactor }: MoffatFitOptions,
): WeightedSystem | null {
  model.sums(p, p[SIZE - 1]);
  const { desk, count } = model.pixels;
  const { pixels, stride, work } = model.places;
  const { kernels, numbers, numbersAt } = desk;
  kernels.weightedSums(pixels, stride, count, work, noise * noise, photonFactor * p[0], numbersAt + 8 * SUMS);
  const normal = new Float64Array(SIZE * SIZE);
  for (let u = 0; u < SIZE; u += 1)
    for (let v = 0; v <= u; v += 1) normal[u * SIZE + v] = numbers[row(u) + v];
  // Behind the parameters' rows those of a level sky, and of the residual.
  const follow = numbers.slice(row(SIZE), row(SIZE) + SIZE);
  const step = numbers.slice(row(SIZE + 1), row(SIZE + 1) + SIZE);
  if (!choleskyInPlace(normal, SIZE)) return null;
  choleskySolveInPlace(normal, SIZE, step);
  choleskySolveInPlace(normal, SIZE, follow);
  return { step, covariance: choleskyInverse(normal, SIZE), follow };
}

function describe(
  [height, , , a, b, c]: readonly number[],
  { covariance, follow }: WeightedSystem,
  pedestalError: number,
): WeightedShape {
  // e1 = (c - a)/(a + c), e2 = -2b/(a + c).
  const sum = a + c;
  const slopes = [
    [(-2 * c) / sum ** 2, 0, (2 * a) / sum ** 2],
    [(2 * b) / sum ** 2, -2 / sum, (2 * b) / sum ** 2],
  ];
  let variance = 0;
  for (const slope of slopes) {
    let level = 0;
    for (let i = 0; i < 3; i += 1) {
      level += slope[i] * follow[A + i];
      for (let j = 0; j < 3; j += 1) variance += slope[i] * covariance[(A + i) * SIZE + A + j] * slope[j];
    }
    variance += (pedestalError * level) ** 2;
  }
  return { e1: (c - a) / sum, e2: (-2 * b) / sum, error: Math.sqrt(variance / 2) / height };
}
