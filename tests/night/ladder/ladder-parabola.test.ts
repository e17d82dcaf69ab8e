import { describe, expect, it } from 'vitest';
import { parabolaMinimum } from '../../../src/night/ladder/ladder-parabola.js';

const points = (bend: number, error = 0.1) =>
  [53, 54, 55, 56, 57].map((x) => ({ x, y: 1 + bend * (x - 55.3) ** 2, error }));

describe('the lowest place of a parabola', () => {
  it('is found, with an error that grows with the noise', () => {
    expect(parabolaMinimum(points(0.5))!.value).toBeCloseTo(55.3, 9);
    expect(parabolaMinimum(points(0.5, 0.2))!.error / parabolaMinimum(points(0.5))!.error).toBeCloseTo(2, 6);
  });

  it('is not told for a parabola that is not clearly open, or from two places', () => {
    expect(parabolaMinimum(points(-0.5))).toBeNull();
    expect(parabolaMinimum(points(0.01, 0.5))).toBeNull();
    expect(parabolaMinimum(points(0.5).slice(0, 2))).toBeNull();
  });
});
