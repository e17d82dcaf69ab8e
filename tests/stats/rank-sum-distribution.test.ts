import { describe, expect, it } from 'vitest';
import { rankSumCumulative, rankSumDistribution } from '../../src/stats/rank-sum-distribution.js';

describe('distribution of U', () => {
  it('two against two: 1, 1, 2, 1, 1 sixths', () => {
    [...rankSumDistribution(2, 2)].forEach((p, u) => expect(p).toBeCloseTo([1, 1, 2, 1, 1][u] / 6, 14));
  });

  it('adds up to one and does not care which sample is which', () => {
    expect(rankSumCumulative(7, 9)[63]).toBeCloseTo(1, 13);
    rankSumDistribution(7, 9).forEach((p, u) => expect(p).toBeCloseTo(rankSumDistribution(9, 7)[u], 14));
  });

  it('an empty sample leaves one outcome; odd counts are refused', () => {
    expect([...rankSumDistribution(0, 5)]).toEqual([1]);
    expect(() => rankSumDistribution(1.5, 2)).toThrow(RangeError);
    expect(() => rankSumDistribution(-1, 2)).toThrow(RangeError);
  });
});
