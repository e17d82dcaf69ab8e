import { describe, expect, it } from 'vitest';
import { normalCdf, normalQuantile, normalTwoSidedP } from '../../src/stats/normal-distribution.js';

describe('normal distribution', () => {
  it('is symmetric and joins its two methods without a step', () => {
    expect(normalCdf(0)).toBe(0.5);
    expect(normalCdf(1.3) + normalCdf(-1.3)).toBeCloseTo(1, 14);
    expect(normalCdf(-3 - 1e-9) / normalCdf(-3 + 1e-9)).toBeCloseTo(1, 7);
    expect(normalCdf(-Infinity)).toBe(0);
    expect(normalCdf(Infinity)).toBe(1);
    expect(normalCdf(NaN)).toBeNaN();
  });

  it('the quantile undoes it', () => {
    for (const p of [1e-200, 1e-12, 0.01, 0.5, 0.9, 1 - 1e-9]) {
      expect(normalCdf(normalQuantile(p)) / p).toBeCloseTo(1, 10);
    }
    expect(normalQuantile(0)).toBe(-Infinity);
    expect(normalQuantile(1)).toBe(Infinity);
    expect(() => normalQuantile(1.1)).toThrow(RangeError);
    expect(() => normalQuantile(NaN)).toThrow(RangeError);
  });

  it('two-sided p of 1.96 is 5 %', () => {
    expect(normalTwoSidedP(1.959963984540054)).toBeCloseTo(0.05, 12);
    expect(normalTwoSidedP(-1.959963984540054)).toBeCloseTo(0.05, 12);
    expect(normalTwoSidedP(NaN)).toBeNaN();
  });
});
