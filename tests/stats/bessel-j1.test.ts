import { describe, expect, it } from 'vitest';
import { besselJ1 } from '../../src/stats/bessel-j1.js';

describe('Bessel function J1', () => {
  // Abramowitz & Stegun, table 9.1.
  it.each([
    [0, 0],
    [1, 0.4400505857],
    [2, 0.5767248078],
    [3, 0.3390589585],
    [5, -0.3275791376],
    [10, 0.0434727462],
  ])('at %f is %f', (x, value) => {
    expect(besselJ1(x)).toBeCloseTo(value, 6);
  });

  it('is odd and has its first zero at 3.8317', () => {
    expect(besselJ1(-2)).toBe(-besselJ1(2));
    expect(Math.abs(besselJ1(3.831706))).toBeLessThan(1e-6);
  });
});
