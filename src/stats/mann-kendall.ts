import { kendallScore } from './kendall-score.js';
import { normalTwoSidedP } from './normal-distribution.js';

/** Is there a trend, up or down, of whatever shape? */
export interface MannKendall {
  readonly score: number;
  /** Standard normal statistic, continuity-corrected. */
  readonly z: number;
  /** Two-sided probability of so clear an order without any trend. */
  readonly p: number;
  /** Kendall's tau-a: 1 rises at every step, -1 falls at every step. */
  readonly tau: number;
  readonly count: number;
}

/**
 * Mann-Kendall test for a monotonic trend of `y` over the times `x` (any units).
 *
 * Normal approximation with ties and continuity correction (Mann 1945; Kendall 1975; Gilbert 1987, section 16.4.2); good from about
 * ten points. It assumes independent points: nights that resemble their neighbours make p too small.
 * Null below four points; all equal: z = 0, p = 1.
 */
export function mannKendall(x: readonly number[], y: readonly number[]): MannKendall | null {
  if (y.length < 4) return null;
  const { score, variance, pairs } = kendallScore(x, y);
  const z = variance > 0 ? (score - Math.sign(score)) / Math.sqrt(variance) : 0;
  return { score, z, p: Math.min(1, normalTwoSidedP(z)), tau: score / pairs, count: y.length };
}
