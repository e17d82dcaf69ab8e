import { medianInPlace } from '../stats/index.js';
import { fieldBalancedWeights } from './field-weights.js';
import type { SummaryStars } from './summary-stars.js';
import type { StarTable } from './types.js';

/** Common elongation of the stars of a frame. */
export interface Trail {
  /** Axis, degrees in [0, 180); null without two stars. */
  readonly angleDeg: number | null;
  /** Length of the mean ellipticity vector over the mean length: 0 random axes, 1 all along one axis. */
  readonly coherence: number | null;
  /** Length of the mean vector over its standard error. */
  readonly significance: number | null;
}

/** Vectors of a perfect frame still differ by this much: pixel phases, faint companions. */
const LEAST_SPREAD = 0.004;
/** Median of the squared length of a two-dimensional normal vector over its variance in one direction. */
const MEDIAN_SQUARE = 2 * Math.LN2;
/** The median of n squared lengths exceeds that by chance by about 1.44 / sqrt(n) of itself (standard error); two of these. */
const CHANCE = 2.9;
/** Vectors farther from the mean than so many of their own standard deviations (spread included) count less, as Huber (1964) has it: stars with a companion that nobody saw. */
const FAR = 3;
const ROUNDS = 4;

/**
 * Mean of the stars' ellipticity vectors (twice the angle, so that axes add up) with its error from the scatter seen. A star's weight follows the error of its own vector
 * and how much the vectors really differ over the field, `widthPx` by `heightPx`, every part of which counts about alike; single vectors far off the others count less.
 *
 * The coherence compares with the mean length after the noise's share is taken off, and cannot pass 1.
 */
export function trailFigure(
  table: StarTable,
  { stars }: SummaryStars,
  widthPx: number,
  heightPx: number,
): Trail {
  const { variances, balanced } = vectorWeights(table, stars, widthPx, heightPx);
  const weights = balanced.slice();
  let axis = meanVector(table, stars, weights);
  if (axis === null || stars.length < 2) return { angleDeg: null, coherence: null, significance: null };
  for (let round = 0; round < ROUNDS; round += 1) {
    for (let k = 0; k < stars.length; k += 1) {
      const off = Math.hypot(table.e1[stars[k]] - axis.e1, table.e2[stars[k]] - axis.e2);
      if (weights[k] > 0) weights[k] = balanced[k] * Math.min(1, (FAR * Math.sqrt(variances[k])) / off);
    }
    axis = meanVector(table, stars, weights) ?? axis;
  }
  let sum = 0;
  let squares = 0;
  let lengths = 0;
  let scatter = 0;
  for (let k = 0; k < stars.length; k += 1) {
    const w = weights[k];
    const e1 = table.e1[stars[k]];
    const e2 = table.e2[stars[k]];
    if (!(w > 0)) continue;
    sum += w;
    squares += w * w;
    lengths += w * Math.sqrt(Math.max(0, e1 * e1 + e2 * e2 - 2 * table.eError[stars[k]] ** 2));
    scatter += w * ((e1 - axis.e1) ** 2 + (e2 - axis.e2) ** 2);
  }
  const mean = Math.hypot(axis.e1, axis.e2);
  const effective = (sum * sum) / squares;
  const error = Math.sqrt(scatter / sum / 2 / Math.max(1, effective - 1));
  const length = lengths / sum;
  return {
    angleDeg: ((Math.atan2(axis.e2, axis.e1) * 90) / Math.PI + 180) % 180,
    coherence: Math.min(1, mean / Math.max(length, mean)),
    significance: error > 0 ? mean / error : null,
  };
}

/** Weighted mean of the ellipticity vectors; null where no star has weight. */
function meanVector(
  table: StarTable,
  stars: Uint32Array,
  weights: Float64Array,
): { readonly e1: number; readonly e2: number } | null {
  let sum = 0;
  let e1 = 0;
  let e2 = 0;
  for (let k = 0; k < stars.length; k += 1) {
    if (!(weights[k] > 0)) continue;
    sum += weights[k];
    e1 += weights[k] * table.e1[stars[k]];
    e2 += weights[k] * table.e2[stars[k]];
  }
  return sum > 0 ? { e1: e1 / sum, e2: e2 / sum } : null;
}

/** Variance of each star's vector in one direction, real spread included, and its weight, 0 where it has none; one entry per index in `stars`. */
function vectorWeights(
  table: StarTable,
  stars: Uint32Array,
  widthPx: number,
  heightPx: number,
): { readonly variances: Float64Array; readonly balanced: Float64Array } {
  const sound = stars.filter((s) => Number.isFinite(table.e1[s]) && Number.isFinite(table.eError[s]));
  const limit = medianInPlace(Float64Array.from(sound, (s) => table.eError[s]));
  const better = sound.filter((s) => table.eError[s] <= limit);
  const of = (value: (s: number) => number): number => medianInPlace(Float64Array.from(better, value));
  const m1 = of((s) => table.e1[s]);
  const m2 = of((s) => table.e2[s]);
  const seen = of((s) => (table.e1[s] - m1) ** 2 + (table.e2[s] - m2) ** 2) / MEDIAN_SQUARE;
  const chance = of((s) => table.eError[s]) ** 2;
  const spread = Math.max(LEAST_SPREAD ** 2, seen - chance || 0);
  const variances = Float64Array.from(stars, (s) => table.eError[s] ** 2 + spread);
  const own = variances.map((variance, k) => (Number.isFinite(table.e1[stars[k]]) && 1 / variance) || 0);
  // Vectors that differ by their errors alone are one and the same all over the field: then the stars that know decide, wherever they stand.
  if (seen < chance * (1 + CHANCE / Math.sqrt(better.length))) return { variances, balanced: own };
  const place = (axis: Float64Array): Float64Array => Float64Array.from(stars, (s) => axis[s]);
  return {
    variances,
    balanced: fieldBalancedWeights(own, place(table.x), place(table.y), widthPx, heightPx),
  };
}
