/** Variance of a step of a wandering level over that of its scatter. */
const WANDER_RATIOS = [0, 0.03, 0.1, 0.3, 1, 3, 10, 40];

/**
 * Log-likelihood of a series as a level that wanders at random with `ratio` times the scatter's variance a step (0: a level at rest), the
 * scatter at its best value but not below `leastScatter` (local level model; Harvey 1989, Forecasting, Structural Time Series Models
 * and the Kalman Filter, section 2.3). The first value sets the level. Fewer than two values: 0.
 */
export function levelLikelihood(y: readonly number[], ratio: number, leastScatter: number): number {
  let level = y[0] ?? 0;
  let variance = 1;
  let logs = 0;
  let squares = 0;
  for (let k = 1; k < y.length; k++) {
    const ahead = variance + ratio;
    const total = ahead + 1;
    const miss = y[k] - level;
    logs += Math.log(total);
    squares += (miss * miss) / total;
    level += (ahead / total) * miss;
    variance = ahead / total;
  }
  const count = y.length - 1;
  if (count < 1) return 0;
  const scatter2 = Math.max(leastScatter ** 2, squares / count);
  return -0.5 * (count * Math.log(scatter2) + logs + squares / scatter2);
}

/** The same with the wandering that suits the series best. */
export function wanderingLikelihood(y: readonly number[], leastScatter: number): number {
  return Math.max(...WANDER_RATIOS.map((ratio) => levelLikelihood(y, ratio, leastScatter)));
}
