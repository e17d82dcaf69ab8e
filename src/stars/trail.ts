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

/**
 * Mean of the stars' ellipticity vectors (twice the angle, so that axes add up) with its error from the scatter seen. A star's weight follows the error of its own vector
 * and how much the vectors really differ over the field, `widthPx` by `heightPx`, every part of which counts about alike.
 *
 * The coherence compares with the mean length after the noise's share is taken off, and cannot pass 1.
 */
export function trailFigure(
  table: StarTable,
  { stars }: SummaryStars,
  widthPx: number,
  heightPx: number,
): Trail {
  const weights = vectorWeights(table, stars, widthPx, heightPx);
  let sum = 0;
  let squares = 0;
  let s1 = 0;
  let s2 = 0;
  let lengths = 0;
  for (let k = 0; k < stars.length; k += 1) {
    const w = weights[k];
    const e1 = table.e1[stars[k]];
    const e2 = table.e2[stars[k]];
    if (!(w > 0) || !Number.isFinite(e1)) continue;
    sum += w;
    squares += w * w;
    s1 += w * e1;
    s2 += w * e2;
    lengths += w * Math.sqrt(Math.max(0, e1 * e1 + e2 * e2 - 2 * table.eError[stars[k]] ** 2));
  }
  if (!(sum > 0) || stars.length < 2) return { angleDeg: null, coherence: null, significance: null };
  const m1 = s1 / sum;
  const m2 = s2 / sum;
  const mean = Math.hypot(m1, m2);
  let scatter = 0;
  for (let k = 0; k < stars.length; k += 1) {
    const d1 = table.e1[stars[k]] - m1;
    const d2 = table.e2[stars[k]] - m2;
    if (weights[k] > 0 && Number.isFinite(d1)) scatter += weights[k] * (d1 * d1 + d2 * d2);
  }
  const effective = (sum * sum) / squares;
  const error = Math.sqrt(scatter / sum / 2 / Math.max(1, effective - 1));
  const length = lengths / sum;
  return {
    angleDeg: ((Math.atan2(m2, m1) * 90) / Math.PI + 180) % 180,
    coherence: Math.min(1, mean / Math.max(length, mean)),
    significance: error > 0 ? mean / error : null,
  };
}

function vectorWeights(
  table: StarTable,
  stars: Uint32Array,
  widthPx: number,
  heightPx: number,
): Float64Array {
  const sound = stars.filter((s) => Number.isFinite(table.e1[s]) && Number.isFinite(table.eError[s]));
  const limit = medianInPlace(Float64Array.from(sound, (s) => table.eError[s]));
  const better = sound.filter((s) => table.eError[s] <= limit);
  const of = (value: (s: number) => number): number => medianInPlace(Float64Array.from(better, value));
  const m1 = of((s) => table.e1[s]);
  const m2 = of((s) => table.e2[s]);
  const seen = of((s) => (table.e1[s] - m1) ** 2 + (table.e2[s] - m2) ** 2) / MEDIAN_SQUARE;
  const chance = of((s) => table.eError[s]) ** 2;
  const spread = Math.max(LEAST_SPREAD ** 2, seen - chance || 0);
  const own = Float64Array.from(stars, (s) => 1 / (table.eError[s] ** 2 + spread) || 0);
  // Vectors that differ by their errors alone are one and the same all over the field: then the stars that know decide, wherever they stand.
  if (seen < chance * (1 + CHANCE / Math.sqrt(better.length))) return own;
  const place = (axis: Float64Array): Float64Array => Float64Array.from(stars, (s) => axis[s]);
  return fieldBalancedWeights(own, place(table.x), place(table.y), widthPx, heightPx);
}
