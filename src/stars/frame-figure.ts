import { weightedMedian } from '../stats/index.js';
import type { Figure } from './types.js';

/**
 * Weighted median of a figure over stars with its standard error.
 *
 * The error is that of a median of a sample with the scatter seen (1.2533 spread / sqrt(effective count), spread = 1.4826 x weighted MAD), with the
 * effective count (sum w)^2 / sum w^2 (Kish 1965). No entry with weight: value and error null, count 0.
 */
export function frameFigure(values: ArrayLike<number>, weights: ArrayLike<number>): Figure {
  const value = weightedMedian(values, weights);
  if (Number.isNaN(value)) return { value: null, standardError: null, count: 0 };
  const deviations = Float64Array.from(values, (v) => Math.abs(v - value));
  const spread = 1.4826 * weightedMedian(deviations, weights);
  let sum = 0;
  let squares = 0;
  let count = 0;
  for (let k = 0; k < values.length; k += 1) {
    if (!Number.isFinite(values[k]) || !(weights[k] > 0)) continue;
    sum += weights[k];
    squares += weights[k] ** 2;
    count += 1;
  }
  const effective = (sum * sum) / squares;
  return { value, standardError: count < 2 ? null : (1.2533 * spread) / Math.sqrt(effective), count };
}
