import { weightedMedian } from '../stats/index.js';
import type { Figure } from './types.js';

/** Standard deviation over median absolute deviation of a normal distribution. */
const PER_MEDIAN = 1.4826;

/**
 * Weighted median of a figure over stars with its standard error.
 *
 * Without `errors` that of a median of a sample with the scatter seen (1.2533 spread / sqrt(effective count), spread = 1.4826 x weighted MAD), with the effective count
 * (sum w)^2 / sum w^2 (Kish 1965). With the values' own `errors` (real spread included) it follows from the density of each value at the median, 1 / (error sqrt(2 pi)):
 * 1.2533 sqrt(sum w^2) / sum(w / error); scatter beyond the errors widens it. No entry with weight: value and error null, count 0.
 */
export function frameFigure(
  values: ArrayLike<number>,
  weights: ArrayLike<number>,
  errors?: ArrayLike<number>,
): Figure {
  const value = weightedMedian(values, weights);
  if (Number.isNaN(value)) return { value: null, standardError: null, count: 0 };
  const scales = new Float64Array(values.length).fill(1);
  if (errors !== undefined)
    for (let k = 0; k < scales.length; k += 1) scales[k] = errors[k] > 0 ? errors[k] : NaN;
  const deviations = new Float64Array(values.length);
  for (let k = 0; k < deviations.length; k += 1) deviations[k] = Math.abs(values[k] - value) / scales[k];
  const spread = PER_MEDIAN * weightedMedian(deviations, weights);
  let sum = 0;
  let squares = 0;
  let count = 0;
  for (let k = 0; k < values.length; k += 1) {
    if (!Number.isFinite(values[k]) || !(weights[k] > 0)) continue;
    count += 1;
    if (!Number.isFinite(scales[k])) continue;
    sum += weights[k] / scales[k];
    squares += weights[k] ** 2;
  }
  if (count < 2) return { value, standardError: null, count };
  const widened = errors === undefined ? spread : Math.max(1, spread);
  return { value, standardError: (1.2533 * widened * Math.sqrt(squares)) / sum, count };
}
