import { describe, expect, it } from 'vitest';
import { kendallScore, tieSizes } from '../../src/stats/kendall-score.js';

describe("Kendall's score", () => {
  it('counts rises minus falls; without ties the variance is n(n-1)(2n+5)/18', () => {
    const { score, variance, pairs } = kendallScore([1, 2, 3, 4], [1, 3, 2, 4]);
    expect([score, pairs]).toEqual([4, 6]);
    expect(variance).toBeCloseTo((4 * 3 * 13) / 18, 12);
  });

  it('all equal: no score, no variance', () => {
    expect(kendallScore([1, 2, 3], [5, 5, 5])).toMatchObject({ score: 0, variance: 0 });
    expect(kendallScore([], [])).toEqual({ score: 0, variance: 0, pairs: 0 });
    expect(kendallScore([1], [1])).toEqual({ score: 0, variance: 0, pairs: 0 });
  });

  it('refuses lengths that differ', () => {
    expect(() => kendallScore([1], [1, 2])).toThrow(RangeError);
  });

  it('finds the groups of equal values', () => {
    expect(tieSizes([3, 1, 3, 2, 1, 3])).toEqual([2, 3]);
    expect(tieSizes([1, 2, 3])).toEqual([]);
  });
});
