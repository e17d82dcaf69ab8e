import { describe, expect, it } from 'vitest';
import { hodgesLehmann } from '../../src/stats/hodges-lehmann.js';
import { mannWhitney } from '../../src/stats/mann-whitney.js';

describe('Hodges-Lehmann shift', () => {
  const before = [3.1, 4.2, 2.8, 5.0, 3.9, 4.4, 3.3, 4.8];
  const after = before.map((value, i) => value + 2 + 0.01 * i);

  it('finds a shift with an interval around it', () => {
    const shift = hodgesLehmann(before, after)!;
    expect(shift.shift).toBeCloseTo(2.03, 1);
    expect(shift.low!).toBeLessThan(shift.shift);
    expect(shift.high!).toBeGreaterThan(shift.shift);
  });

  it('the interval holds zero exactly when the test sees no difference', () => {
    for (let by = -3; by <= 3; by += 0.173) {
      const moved = after.map((value) => value - 2 + by);
      const { low, high } = hodgesLehmann(before, moved)!;
      expect(low! <= 0 && high! >= 0).toBe(mannWhitney(before, moved)!.p > 0.05);
    }
  });

  it('three against three is too little for 95 %', () => {
    expect(hodgesLehmann([1, 2, 3], [11, 12.5, 13.2])).toMatchObject({ low: null, high: null });
    expect(hodgesLehmann([], [1])).toBeNull();
    expect(() => hodgesLehmann([1], [1], 0)).toThrow(RangeError);
  });
});
