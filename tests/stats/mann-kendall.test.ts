import { describe, expect, it } from 'vitest';
import { mannKendall } from '../../src/stats/mann-kendall.js';

describe('Mann-Kendall', () => {
  it('a series that always rises has tau 1 and a small p', () => {
    const x = Array.from({ length: 20 }, (_, i) => i);
    const test = mannKendall(x, x)!;
    expect(test.tau).toBe(1);
    expect(test.p).toBeLessThan(1e-8);
    expect(
      mannKendall(
        x,
        x.map((v) => -v),
      )!.z,
    ).toBeCloseTo(-test.z, 12);
  });

  it('under four points there is no answer; all equal is no trend', () => {
    expect(mannKendall([1, 2, 3], [1, 2, 3])).toBeNull();
    expect(mannKendall([1, 2, 3, 4], [5, 5, 5, 5])).toMatchObject({ z: 0, p: 1 });
  });
});
