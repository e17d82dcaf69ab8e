import { describe, expect, it } from 'vitest';
import { spreadBeyondErrors } from '../../src/stars/spread-beyond-errors.js';
import { seededRandom } from '../scenes/random.js';

/** Values about 5 with a real spread, and errors from 0.002 to 0.2, the first ones the smallest. */
function drawn(spread: number, seed: number): { values: number[]; errors: number[] } {
  const random = seededRandom(seed);
  const errors = Array.from({ length: 150 }, (_, k) => 0.002 * 100 ** (k / 149));
  return {
    values: errors.map((error) => 5 + spread * random.normal() + error * random.normal()),
    errors,
  };
}
const typical = (spread: number): number => {
  const found = Array.from({ length: 40 }, (_, seed) => {
    const { values, errors } = drawn(spread, seed + 1);
    return spreadBeyondErrors(values, errors, 0.001);
  });
  return found.sort((a, b) => a - b)[20];
};

describe('spread beyond errors', () => {
  it('is that of the values themselves', () => {
    // The median deviation of 24 is known to 24 %, the middle of forty such to 5 %.
    expect(typical(0.03) / 0.03).toBeGreaterThan(0.88);
    expect(typical(0.03) / 0.03).toBeLessThan(1.12);
  });

  it('is hardly any where errors explain the scatter', () => {
    // Best errors of 0.002 to 0.004: half of the draws deviate more by chance, and little more.
    expect(typical(0)).toBeLessThan(0.0025);
  });

  it('has no ear for a few odd values', () => {
    const { values, errors } = drawn(0, 3);
    const before = spreadBeyondErrors(values, errors, 0.005);
    for (const k of [0, 5, 11, 17]) values[k] += 1;
    expect(spreadBeyondErrors(values, errors, 0.005)).toBeLessThan(before + 0.002);
  });

  it('is the least for too few, and ignores what is no number', () => {
    expect(spreadBeyondErrors([1, 2, 3], [0.1, 0.1, 0.1], 0.004)).toBe(0.004);
    expect(spreadBeyondErrors([1, 2, 3, NaN, 5], [0.1, 0.1, 0.1, 0.1, NaN], 0.004)).toBe(0.004);
    expect(spreadBeyondErrors([2, 2, 2, 2], [0.1, 0.1, 0.1, 0.1], 0.004)).toBe(0.004);
  });
});
