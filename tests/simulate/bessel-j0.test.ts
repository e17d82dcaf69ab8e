import { describe, expect, it } from 'vitest';
import { besselJ0 } from '../../src/simulate/bessel-j0.js';

describe('besselJ0', () => {
  // Abramowitz & Stegun 1964, table 9.1; the formula's own bound is 5e-8.
  it.each([
    [0, 1],
    [1, 0.7651976866],
    [2, 0.2238907791],
    [5, -0.1775967713],
    [10, -0.2459357645],
    [17.5, -0.1031103982],
  ])('J0(%d)', (x, value) => {
    expect(Math.abs(besselJ0(x) - value)).toBeLessThan(1e-7);
  });

  it('vanishes at its first zeros and is even', () => {
    // Abramowitz & Stegun 1964, table 9.5.
    for (const zero of [2.4048255577, 5.5200781103, 8.6537279129]) {
      expect(Math.abs(besselJ0(zero))).toBeLessThan(1e-7);
    }
    expect(besselJ0(-4.2)).toBe(besselJ0(4.2));
  });
});
