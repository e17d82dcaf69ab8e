import { tieSizes } from './kendall-score.js';
import { rankSumVariance } from './mann-whitney.js';
import { normalQuantile } from './normal-distribution.js';
import { rankSumCumulative } from './rank-sum-distribution.js';

/** By how much one sample lies above another. */
export interface HodgesLehmann {
  /** Shift of `after` against `before`, in their unit. */
  readonly shift: number;
  /** Confidence interval; null when the samples are too small for the level. */
  readonly low: number | null;
  readonly high: number | null;
}

/**
 * Hodges-Lehmann shift from `before` to `after`: the median of all differences after - before, with the interval that
 * inverts the Mann-Whitney test (Hodges & Lehmann 1963; Hollander & Wolfe, sections 4.2 and 4.3). Exact without ties up to
 * n * m = 1600, else by the normal approximation. Null when a sample is empty.
 * Throws RangeError when the level is not inside (0, 1).
 */
export function hodgesLehmann(
  before: readonly number[],
  after: readonly number[],
  level = 0.95,
): HodgesLehmann | null {
  if (!(level > 0 && level < 1))
    throw new RangeError(`a confidence level lies between 0 and 1, got ${level}`);
  const [n, m] = [before.length, after.length];
  if (n === 0 || m === 0) return null;
  const differences = new Float64Array(n * m);
  let filled = 0;
  for (const y of after) for (const x of before) differences[filled++] = y - x;
  differences.sort();
  const half = filled >> 1;
  const shift = filled % 2 === 1 ? differences[half]! : (differences[half - 1]! + differences[half]!) / 2;
  const rank = intervalRank(n, m, (1 - level) / 2, tieSizes([...before, ...after]));
  return rank < 1
    ? { shift, low: null, high: null }
    : { shift, low: differences[rank - 1]!, high: differences[filled - rank]! };
}

/** Rank (from 1) of the difference that bounds the interval from below; under 1 when no difference can. */
function intervalRank(n: number, m: number, tail: number, ties: readonly number[]): number {
  if (ties.length === 0 && n * m <= 1600) {
    const cumulative = rankSumCumulative(n, m);
    let rank = 0;
    while (cumulative[rank]! <= tail) rank++;
    return rank;
  }
  return Math.floor((n * m) / 2 + normalQuantile(tail) * Math.sqrt(rankSumVariance(n, m, ties)));
}
