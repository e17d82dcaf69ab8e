import { medianSorted } from 'simple-statistics';
import { describe, expect, it } from 'vitest';
import { weightedMedian } from '../../src/stats/weighted-median.js';
import { seededRandom } from '../scenes/random.js';

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

  it('agrees with a walk along the sorted values', () => {
    const random = seededRandom(8);
    for (let n = 1; n <= 300; n += 1) {
      const values = Array.from({ length: n }, () => random.normal());
      const weights = values.map(() => random.uniform() ** 3 + 1e-3);
      expect(weightedMedian(values, weights)).toBeCloseTo(walkedMedian(values, weights), 12);
    }
  });

  it('is the common value where most are alike', () => {
    expect(weightedMedian([2, 7, 2, 1, 2, 2, 9], [1, 2, 1, 2, 3, 1, 2])).toBe(2);
  });

  it('ignores what is not finite or has no weight, and is NaN for nothing', () => {
    expect(weightedMedian([NaN, 4, 900], [5, 1, 0])).toBe(4);
    expect(weightedMedian([NaN], [1])).toBeNaN();
    expect(weightedMedian([], [])).toBeNaN();
  });
});

/** The value at which the running sum of the weights, each centred on its value, passes half of the total. */
function walkedMedian(values: readonly number[], weights: readonly number[]): number {
  const half = weights.reduce((sum, weight) => sum + weight, 0) / 2;
  let before = 0;
  const sorted = values
    .map((value, k) => ({ value, weight: weights[k] }))
    .sort((a, b) => a.value - b.value)
    .map(({ value, weight }) => ({ value, centre: (before += weight) - weight / 2 }));
  const k = sorted.findIndex(({ centre }) => centre >= half);
  if (k < 1) return sorted[k < 0 ? sorted.length - 1 : 0].value;
  const [a, b] = [sorted[k - 1], sorted[k]];
  return a.value + ((half - a.centre) / (b.centre - a.centre)) * (b.value - a.value);
}
