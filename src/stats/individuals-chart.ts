import { mean, median } from 'simple-statistics';

/** Control limits for a series of single values. */
export interface IndividualsChart {
  readonly centre: number;
  readonly lowerLimit: number;
  readonly upperLimit: number;
  /** Spread from value to value, one standard deviation. */
  readonly sigma: number;
  readonly count: number;
}

/**
 * Control chart for individual values: centre and limits at three sigma, sigma from the ranges between neighbours.
 *
 * `mean` is the textbook form (centre = mean, sigma = mean moving range / 1.128: NIST/SEMATECH e-Handbook of Statistical Methods,
 * section 6.3.2.2). `median` takes medians instead (sigma = median moving range / 0.954, the median of |difference| of two
 * standard normals), which one bad night does not widen. Values in order of time, any unit.
 * Null with fewer than two values; all equal: sigma = 0 and the limits fall on the centre.
 */
export function individualsChart(
  values: readonly number[],
  method: 'mean' | 'median' = 'mean',
): IndividualsChart | null {
  if (values.length < 2) return null;
  const ranges = values.slice(1).map((value, i) => Math.abs(value - values[i]!));
  const centre = method === 'mean' ? mean([...values]) : median([...values]);
  const sigma = method === 'mean' ? mean(ranges) / 1.128 : median(ranges) / 0.954;
  return {
    centre,
    lowerLimit: centre - 3 * sigma,
    upperLimit: centre + 3 * sigma,
    sigma,
    count: values.length,
  };
}
