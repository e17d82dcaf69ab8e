import { medianInPlace } from './median.js';

/** Median and spread of a sample. */
export interface RobustLocation {
  readonly median: number;
  /** 1.4826 x the median absolute deviation: the standard deviation when the sample is normal. */
  readonly spread: number;
  readonly count: number;
}

/**
 * Median and 1.4826 x MAD of the finite entries of `values` (which are left as they are).
 *
 * Nothing finite: NaN, NaN, 0. One entry: that entry, spread 0.
 * Source: Hampel (1974), JASA 69, 383; the factor makes MAD the standard deviation of a normal sample.
 */
export function robustLocation(values: ArrayLike<number>): RobustLocation {
  const sorted = new Float64Array(values.length);
  let count = 0;
  for (let i = 0; i < values.length; i += 1) {
    if (Number.isFinite(values[i])) sorted[count++] = values[i];
  }
  if (count === 0) return { median: NaN, spread: NaN, count: 0 };
  const median = medianInPlace(sorted, count);
  for (let i = 0; i < count; i += 1) sorted[i] = Math.abs(sorted[i] - median);
  return { median, spread: 1.4826 * medianInPlace(sorted, count), count };
}
