import { tieSizes } from './kendall-score.js';
import { normalTwoSidedP } from './normal-distribution.js';
import { rankSumCumulative } from './rank-sum-distribution.js';

/** Do two samples differ in level? */
export interface MannWhitney {
  /** Pairs in which the value of `a` is the larger; ties count half. */
  readonly u: number;
  /** Two-sided. */
  readonly p: number;
  /** Chance that a value of `b` exceeds one of `a`, ties half: 0.5 when there is no difference. */
  readonly superiority: number;
  readonly method: 'exact' | 'normal';
}

/** Largest product of sample sizes for which the exact distribution is used. */
const EXACT_LIMIT = 1600;

/**
 * Mann-Whitney (Wilcoxon rank-sum) test of two independent samples, any unit.
 *
 * Exact without ties up to n * m = 1600, else the normal approximation with ties and continuity correction
 * (Mann & Whitney 1947; Hollander & Wolfe, section 4.1). Null when a sample is empty; all values equal: p = 1.
 */
export function mannWhitney(a: readonly number[], b: readonly number[]): MannWhitney | null {
  const [n, m] = [a.length, b.length];
  if (n === 0 || m === 0) return null;
  let u = 0;
  for (const x of a) for (const y of b) u += x > y ? 1 : x === y ? 0.5 : 0;
  const ties = tieSizes([...a, ...b]);
  const superiority = 1 - u / (n * m);
  if (ties.length === 0 && n * m <= EXACT_LIMIT) {
    const below = rankSumCumulative(n, m)[Math.min(u, n * m - u)]!;
    return { u, p: Math.min(1, 2 * below), superiority, method: 'exact' };
  }
  const deviation = Math.max(0, Math.abs(u - (n * m) / 2) - 0.5);
  const sigma = Math.sqrt(rankSumVariance(n, m, ties));
  return { u, p: sigma > 0 ? normalTwoSidedP(deviation / sigma) : 1, superiority, method: 'normal' };
}

/** Variance of U for samples of `n` and `m` with groups of tied values of the given sizes. */
export function rankSumVariance(n: number, m: number, ties: readonly number[]): number {
  const all = n + m;
  const tied = ties.reduce((sum, t) => sum + t * t * t - t, 0);
  return all < 2 ? 0 : ((n * m) / 12) * (all + 1 - tied / (all * (all - 1)));
}
