import { describe, expect, it } from 'vitest';
import { mannWhitney, rankSumVariance } from '../../src/stats/mann-whitney.js';

describe('Mann-Whitney', () => {
  it('complete separation of three and three: p = 0.1', () => {
    const test = mannWhitney([1, 2, 3], [4, 5, 6])!;
    expect(test).toMatchObject({ u: 0, superiority: 1, method: 'exact' });
    expect(test.p).toBeCloseTo(0.1, 12);
  });

  it('ties count half and take the normal way', () => {
    expect(mannWhitney([1, 2, 2], [2, 3, 3])).toMatchObject({ u: 1, method: 'normal' });
  });

  it('nothing to compare is null; all equal is p = 1', () => {
    expect(mannWhitney([], [1])).toBeNull();
    expect(mannWhitney([5, 5], [5, 5, 5])).toMatchObject({ p: 1, superiority: 0.5 });
  });

  it('variance without ties is nm(n+m+1)/12', () => {
    expect(rankSumVariance(5, 8, [])).toBeCloseTo((5 * 8 * 14) / 12, 12);
    expect(rankSumVariance(1, 0, [])).toBe(0);
  });
});
