import { medianSorted } from 'simple-statistics';
import { describe, expect, it } from 'vitest';
import { weightedMedian } from '../../src/stats/weighted-median.js';

describe('weighted median', () => {
  it('is the ordinary median for equal weights', () => {
    for (const values of [[3], [1, 9], [4, 1, 7], [8, 2, 5, 3]]) {
      const plain = medianSorted([...values].sort((a, b) => a - b));
      expect(
        weightedMedian(
          values,
          values.map(() => 2),
        ),
      ).toBeCloseTo(plain, 12);
    }
  });

  it('follows the weight', () => {
    expect(weightedMedian([1, 2, 3], [1, 1, 10])).toBeGreaterThan(2.5);
    expect(weightedMedian([1, 2, 3], [10, 1, 1])).toBeLessThan(1.5);
  });

  it('ignores what is not finite or has no weight, and is NaN for nothing', () => {
    expect(weightedMedian([NaN, 4, 900], [5, 1, 0])).toBe(4);
    expect(weightedMedian([NaN], [1])).toBeNaN();
    expect(weightedMedian([], [])).toBeNaN();
  });
});
