import { kendallScore } from './kendall-score.js';
import { normalQuantile } from './normal-distribution.js';

/** A straight line through scattered points that lone bad points do not bend. */
export interface TheilSen {
  readonly slope: number;
  readonly intercept: number;
  /** Confidence interval of the slope. */
  readonly low: number;
  readonly high: number;
  readonly count: number;
}

/**
 * Theil-Sen line: the median of the slopes of all pairs of points, with Sen's rank-based interval of the slope.
 *
 * Units: slope in y per x. Intercept: median(y) - slope * median(x). Sen 1968, JASA 63, 1379; the interval as in
 * Hollander & Wolfe, section 9.3 (ties allowed for). Time grows with the square of the count: 450 points take about 10 ms.
 * Null with fewer than three points or when all x are equal; fewer than four leave the interval as the extreme slopes.
 * Throws RangeError when the lengths differ or the level is not inside (0, 1).
 */
export function theilSen(x: readonly number[], y: readonly number[], level = 0.95): TheilSen | null {
  if (!(level > 0 && level < 1))
    throw new RangeError(`a confidence level lies between 0 and 1, got ${level}`);
  const n = y.length;
  if (x.length !== n) throw new RangeError(`x and y differ in length: ${x.length} and ${n}`);
  if (n < 3) return null;
  const all = new Float64Array((n * (n - 1)) / 2);
  let filled = 0;
  for (let i = 0; i < n; i++) {
    for (let j = i + 1; j < n; j++) {
      const dx = x[j]! - x[i]!;
      if (dx !== 0) all[filled++] = (y[j]! - y[i]!) / dx;
    }
  }
  if (filled === 0) return null;
  const slopes = all.subarray(0, filled).sort();
  const slope = middle(slopes);
  const halfWidth = normalQuantile(0.5 + level / 2) * Math.sqrt(kendallScore(x, y).variance);
  const lowIndex = Math.max(Math.round((filled - halfWidth) / 2) - 1, 0);
  const highIndex = Math.min(Math.round((filled + halfWidth) / 2), filled - 1);
  return {
    slope,
    intercept: middle(Float64Array.from(y).sort()) - slope * middle(Float64Array.from(x).sort()),
    low: slopes[lowIndex]!,
    high: slopes[highIndex]!,
    count: n,
  };
}

function middle(sorted: Float64Array): number {
  const half = sorted.length >> 1;
  return sorted.length % 2 === 1 ? sorted[half]! : (sorted[half - 1]! + sorted[half]!) / 2;
}
