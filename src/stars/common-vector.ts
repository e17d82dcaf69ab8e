import { medianInPlace } from '../stats/index.js';
import { fieldBalancedWeights } from './field-weights.js';

/** Ellipticity vectors of stars with the standard error of each component, and where the stars stand (FITS pixels); one entry a star. */
export interface StarVectors {
  readonly e1: Float64Array;
  readonly e2: Float64Array;
  readonly error: Float64Array;
  readonly x: Float64Array;
  readonly y: Float64Array;
}

/** What stars have in common: mean vector, and the variance of each of its components. */
export interface CommonVector {
  readonly e1: number;
  readonly e2: number;
  readonly variance: number;
  /** What each star counted. */
  readonly weights: Float64Array;
}

/** Vectors of a perfect frame still differ by this much: pixel phases, faint companions. */
const LEAST_SPREAD = 0.001;
/** Median of the squared length of a two-dimensional normal vector over its variance in one direction. */
const MEDIAN_SQUARE = 2 * Math.LN2;
/** The median of n squared lengths exceeds that by chance by about 1.44 / sqrt(n) of itself (standard error); two of these. */
const CHANCE = 2.9;
/** Vectors farther from the mean than so many of their own standard deviations (spread included) count less, by the square of how much farther: stars with a companion that nobody saw. */
const FAR = 3;
const ROUNDS = 4;
/** The stated errors are believed as though so many stars had confirmed them. */
const BELIEF = 8;

/**
 * Weighted mean of ellipticity vectors. A star's weight follows the error of its own vector and how much the vectors really differ over the field, `widthPx` by `heightPx`, every part of
 * which counts about alike where they do; single vectors far off the others count less. The mean's variance is what those of the stars leave it under these weights, times what the scatter seen
 * makes of the stated errors. Null where no star has a vector.
 */
export function commonVector(vectors: StarVectors, widthPx: number, heightPx: number): CommonVector | null {
  const { e1, e2 } = vectors;
  const { variances, balanced } = vectorWeights(vectors, widthPx, heightPx);
  let weights = balanced;
  let mean = meanVector(vectors, weights);
  for (let round = 0; round < ROUNDS && mean !== null; round += 1) {
    const about = mean;
    weights = balanced.map((weight, k) => {
      if (!(weight > 0)) return 0;
      const square = (e1[k] - about.e1) ** 2 + (e2[k] - about.e2) ** 2;
      return weight * Math.min(1, (FAR * FAR * variances[k]) / square);
    });
    mean = meanVector(vectors, weights);
  }
  if (mean === null) return null;
  let sum = 0;
  let spread = 0;
  let misfit = 2 * BELIEF;
  let freedom = 2 * (BELIEF - 1);
  for (let k = 0; k < weights.length; k += 1) {
    if (!(weights[k] > 0)) continue;
    const square = (e1[k] - mean.e1) ** 2 + (e2[k] - mean.e2) ** 2;
    sum += weights[k];
    spread += weights[k] ** 2 * variances[k];
    misfit += ((weights[k] / balanced[k]) * square) / variances[k];
    freedom += 2;
  }
  return { ...mean, variance: ((misfit / freedom) * spread) / (sum * sum), weights };
}

function meanVector({ e1, e2 }: StarVectors, weights: Float64Array): { e1: number; e2: number } | null {
  let sum = 0;
  const mean = { e1: 0, e2: 0 };
  for (let k = 0; k < weights.length; k += 1) {
    if (!(weights[k] > 0)) continue;
    sum += weights[k];
    mean.e1 += weights[k] * e1[k];
    mean.e2 += weights[k] * e2[k];
  }
  return sum > 0 ? { e1: mean.e1 / sum, e2: mean.e2 / sum } : null;
}

/** Variance of each vector in one direction, real spread included, and its weight, 0 where it has none. */
function vectorWeights(
  { e1, e2, error, x, y }: StarVectors,
  widthPx: number,
  heightPx: number,
): { readonly variances: Float64Array; readonly balanced: Float64Array } {
  const sound = Array.from(error.keys()).filter((k) => Number.isFinite(e1[k]) && Number.isFinite(error[k]));
  const limit = medianInPlace(Float64Array.from(sound, (k) => error[k]));
  const better = sound.filter((k) => error[k] <= limit);
  const of = (value: (k: number) => number): number => medianInPlace(Float64Array.from(better, value));
  const m1 = of((k) => e1[k]);
  const m2 = of((k) => e2[k]);
  const seen = of((k) => (e1[k] - m1) ** 2 + (e2[k] - m2) ** 2) / MEDIAN_SQUARE;
  const chance = of((k) => error[k]) ** 2;
  const differ = seen > chance * (1 + CHANCE / Math.sqrt(better.length));
  const spread = Math.max(LEAST_SPREAD ** 2, differ ? seen - chance : 0);
  const variances = error.map((own) => own ** 2 + spread);
  const own = variances.map((variance, k) => (Number.isFinite(e1[k]) && 1 / variance) || 0);
  // Vectors that differ by their errors alone are one and the same all over the field: then the stars that know decide, wherever they stand.
  return { variances, balanced: differ ? fieldBalancedWeights(own, x, y, widthPx, heightPx) : own };
}
