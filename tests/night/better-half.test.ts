import { expect, it } from 'vitest';
import { betterHalfMedian } from '../../src/night/better-half.js';

it('betterHalfMedian is the median of the better half', () => {
  expect(betterHalfMedian([5, 1, 9, 2, 3, 8])).toBe(2);
  expect(betterHalfMedian([5, 1, 9, 2, 3])).toBe(2);
  expect(betterHalfMedian([0.2, 0.9, 1, 0.4], 'larger')).toBeCloseTo(0.95);
});

it('betterHalfMedian leaves out what was not measured, and gives null for nothing', () => {
  expect(betterHalfMedian([null, 4, Number.NaN])).toBe(4);
  expect(betterHalfMedian([null])).toBeNull();
  expect(betterHalfMedian([])).toBeNull();
});
