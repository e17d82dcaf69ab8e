import { describe, expect, it } from 'vitest';
import { theilSen } from '../../src/stats/theil-sen.js';

describe('Theil-Sen line', () => {
  it('finds an exact line, and is not bent by one bad point', () => {
    const x = [0, 1, 2, 3, 4, 5, 6, 7, 8];
    const y = x.map((v) => 3 + 0.5 * v);
    expect(theilSen(x, y)).toMatchObject({ slope: 0.5, intercept: 3, low: 0.5, high: 0.5 });
    y[4] = 900;
    expect(theilSen(x, y)!.slope).toBeCloseTo(0.5, 12);
  });

  it('a wider level gives a wider interval', () => {
    const x = Array.from({ length: 25 }, (_, i) => i);
    const y = x.map((v) => v + 3 * Math.sin(7 * v));
    const [narrow, wide] = [theilSen(x, y, 0.8)!, theilSen(x, y, 0.99)!];
    expect(wide.low).toBeLessThan(narrow.low);
    expect(wide.high).toBeGreaterThan(narrow.high);
  });

  it('says null when there is no line', () => {
    expect(theilSen([1, 2], [1, 2])).toBeNull();
    expect(theilSen([1, 1, 1], [1, 2, 3])).toBeNull();
    expect(() => theilSen([1], [1, 2])).toThrow(RangeError);
    expect(() => theilSen([1, 2, 3], [1, 2, 3], 1)).toThrow(RangeError);
  });
});
