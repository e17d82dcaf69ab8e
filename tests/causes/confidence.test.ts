import { describe, expect, it } from 'vitest';
import { bounded, logistic, realAndLarge } from '../../src/causes/confidence.js';

describe('confidence', () => {
  it('turns log-odds into probability', () => {
    expect(logistic(0)).toBe(0.5);
    expect(logistic(Math.log(9))).toBeCloseTo(0.9, 12);
  });

  it('bounds a witness', () => {
    expect(bounded(7, 3)).toBe(3);
    expect(bounded(-7, 3)).toBe(-3);
  });

  it('asks of an effect that it be real and large', () => {
    expect(realAndLarge(20, 5, 10, 5)).toBeGreaterThan(0.9);
    expect(realAndLarge(20, 5, 1, 5)).toBeLessThan(0.05);
    expect(realAndLarge(2, 5, 50, 5)).toBeLessThan(0.05);
    expect(realAndLarge(20, 5, 5, 5)).toBeCloseTo(0.5, 6);
    expect(realAndLarge(NaN, 5, 5, 5)).toBe(0);
  });
});
