import { describe, expect, it } from 'vitest';
import { frameFigure } from '../../src/stars/frame-figure.js';
import { seededRandom } from '../scenes/random.js';

describe('frame figure', () => {
  it('has an error that covers the truth as often as it should', () => {
    const random = seededRandom(8);
    let inside = 0;
    for (let trial = 0; trial < 400; trial += 1) {
      const values = Float64Array.from({ length: 60 }, () => 3 + 0.2 * random.normal());
      const { value, standardError } = frameFigure(values, new Float64Array(60).fill(1));
      if (Math.abs(value! - 3) < standardError!) inside += 1;
    }
    // 68 % for one standard error; 400 trials know that to 2.3 %, and the spread itself is estimated.
    expect(inside / 400).toBeGreaterThan(0.6);
    expect(inside / 400).toBeLessThan(0.76);
  });

  it('ignores outliers and what has no weight', () => {
    const figure = frameFigure([2, 2.1, 1.9, 2, 2.05, 50, NaN, 7], [1, 1, 1, 1, 1, 1, 1, 0]);
    expect(figure.count).toBe(6);
    expect(Math.abs(figure.value! - 2)).toBeLessThan(0.06);
  });

  it('is null for nothing, and without error for one', () => {
    expect(frameFigure([], [])).toEqual({ value: null, standardError: null, count: 0 });
    expect(frameFigure([4], [1])).toEqual({ value: 4, standardError: null, count: 1 });
  });
});
