import { medianInPlace, weightedMedian } from '../stats/index.js';

/** The best-measured so many decide: the others' errors hide what is looked for. */
const BEST = 24;
const FEWEST = 4;
const HALVINGS = 24;
/** Standard deviation over median absolute deviation of a normal distribution. */
const PER_MEDIAN = 1.4826;

/**
 * Real spread of values beyond their standard errors: that which, added in quadrature to the errors of the best-measured, makes their deviations as large as chance would have them
 * (Paule & Mandel 1982, with the median deviation in place of the mean square, so that a few odd ones have no say). At least `least`, which is returned for fewer than four values.
 * Entries that are not finite are ignored.
 */
export function spreadBeyondErrors(
  values: ArrayLike<number>,
  errors: ArrayLike<number>,
  least: number,
): number {
  const sound = Array.from(errors)
    .map((error, k) => ({ value: values[k], error }))
    .filter(({ value, error }) => Number.isFinite(value) && Number.isFinite(error))
    .sort((a, b) => a.error - b.error);
  const best = sound.slice(0, BEST);
  if (best.length < FEWEST) return least;
  const own = best.map(({ value }) => value);
  const deviation = (spread: number): number => {
    const total = best.map(({ error }) => Math.sqrt(error ** 2 + spread ** 2));
    const middle = weightedMedian(
      own,
      total.map((t) => 1 / t),
    );
    return PER_MEDIAN * medianInPlace(own.map((value, k) => Math.abs(value - middle) / total[k]));
  };
  if (deviation(least) <= 1) return least;
  let low = least;
  let high = Math.max(...own) - Math.min(...own);
  for (let k = 0; k < HALVINGS; k += 1) {
    const spread = (low + high) / 2;
    if (deviation(spread) > 1) low = spread;
    else high = spread;
  }
  return high;
}
