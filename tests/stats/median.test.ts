import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { medianInPlace, selectInPlace } from '../../src/stats/median.js';

const sorted = (values: readonly number[]): number[] => [...values].sort((a, b) => a - b);

describe('selection in place', () => {
  it('finds every rank that sorting finds', () => {
    fc.assert(
      fc.property(fc.array(fc.integer({ min: -50, max: 50 }), { minLength: 1, maxLength: 40 }), (values) => {
        for (let k = 0; k < values.length; k += 1) {
          expect(selectInPlace(Float64Array.from(values), values.length, k)).toBe(sorted(values)[k]);
        }
      }),
    );
  });

  it('refuses a rank outside the sample', () => {
    expect(() => selectInPlace(Float64Array.of(1, 2), 2, 2)).toThrow(RangeError);
    expect(() => selectInPlace(Float64Array.of(1, 2), 3, 0)).toThrow(RangeError);
  });
});

describe('median in place', () => {
  it('is the middle entry, or the mean of the two middle ones', () => {
    expect(medianInPlace([5, 1, 3])).toBe(3);
    expect(medianInPlace([5, 1, 3, 4])).toBe(3.5);
  });

  it('looks at the first entries only when told how many', () => {
    expect(medianInPlace(Float64Array.of(1, 2, 3, 100, 200), 3)).toBe(2);
  });

  it('is NaN for nothing', () => {
    expect(medianInPlace([])).toBeNaN();
  });
});
