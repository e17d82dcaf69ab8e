import { describe, expect, it } from 'vitest';
import { coreNumbers } from '../../src/stats/truncated-normal.js';

describe('numbers of the normal core', () => {
  // scipy.stats.truncnorm.stats(-3, above, moments='mv'), scipy 1.10.1.
  it.each([
    [0.8, -0.3625593, 0.5570988],
    [1, -0.2827861, 0.6161417],
    [2.5, -0.0131962, 0.9422745],
    [3, 0.0, 0.9733369],
  ])('has mean and variance of a unit normal cut at -3 and %d', (above, mean, variance) => {
    const [low, high, partMean, partVariance] = coreNumbers(3, above);
    expect([low, high]).toEqual([3, above]);
    // As good as the error function used: 1.5e-7.
    expect(partMean).toBeCloseTo(mean, 5);
    expect(partVariance).toBeCloseTo(variance, 5);
  });

  it('leads back from the part to the whole', () => {
    // A normal 0.02 higher and 2 % wider, seen between the same bounds: its part by numbers, Simpson's rule.
    const [, , partMean, partVariance, a, b, c, d] = coreNumbers(3, 1);
    const [mean, sd, steps] = [0.02, 1.02, 2000];
    const moments = [0, 0, 0];
    for (let k = 0; k <= steps; k += 1) {
      const x = -3 + (4 * k) / steps;
      const weight = (k === 0 || k === steps ? 1 : 2 + 2 * (k % 2)) * Math.exp(-0.5 * ((x - mean) / sd) ** 2);
      for (let m = 0; m < 3; m += 1) moments[m] += weight * x ** m;
    }
    const dMean = moments[1] / moments[0] - partMean;
    const dVariance = moments[2] / moments[0] - (moments[1] / moments[0]) ** 2 - partVariance;
    expect(Math.abs(a * dMean + b * dVariance - mean)).toBeLessThan(0.001);
    expect(Math.abs(c * dMean + d * dVariance - Math.log(sd))).toBeLessThan(0.001);
  });
});
