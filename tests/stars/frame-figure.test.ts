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

  it('has such an error where values differ in theirs, and weights follow them', () => {
    const random = seededRandom(4);
    const errors = Float64Array.from({ length: 60 }, (_, k) => 0.01 * 30 ** (k / 59));
    const weights = errors.map((error) => 1 / error);
    let inside = 0;
    let stated = 0;
    let plain = 0;
    for (let trial = 0; trial < 400; trial += 1) {
      const values = errors.map((error) => 3 + error * random.normal());
      const { value, standardError } = frameFigure(values, weights, errors);
      if (Math.abs(value! - 3) < standardError!) inside += 1;
      stated += standardError! / 400;
      plain += frameFigure(values, new Float64Array(60).fill(1)).standardError! / 400;
    }
    // 68 %, and somewhat more: scatter by chance only widens the error, and interpolation steadies the median of few that count.
    expect(inside / 400).toBeGreaterThan(0.63);
    expect(inside / 400).toBeLessThan(0.81);
    // All together know the middle to 1 / sqrt(sum 1 / error^2) = 0.0034, their weighted median to 1.2533 times that.
    expect(stated).toBeGreaterThan(0.0042);
    expect(stated).toBeLessThan(0.005);
    // A median that takes all alike is that of errors of 0.01 to 0.3.
    expect(plain).toBeGreaterThan(1.5 * stated);
  });

  it('widens the error where values scatter beyond theirs', () => {
    const random = seededRandom(6);
    const values = Float64Array.from({ length: 80 }, () => 3 + 0.2 * random.normal());
    const ones = new Float64Array(80).fill(1);
    const seen = frameFigure(values, ones).standardError!;
    expect(
      frameFigure(
        values,
        ones,
        ones.map(() => 0.02),
      ).standardError!,
    ).toBeCloseTo(seen, 9);
    expect(
      frameFigure(
        values,
        ones,
        ones.map(() => 2),
      ).standardError!,
    ).toBeCloseTo((1.2533 * 2) / Math.sqrt(80), 9);
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
