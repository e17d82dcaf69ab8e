import { describe, expect, it } from 'vitest';
import { robustLinearFit, scatteredError } from '../../src/field/robust-linear-fit.js';
import { normal, seeded } from './made-stars.js';

describe('scatteredError', () => {
  const fitOf = (noise: number) => {
    const random = seeded(3);
    const x = Array.from({ length: 400 }, (_, k) => k / 400);
    return robustLinearFit(
      x.map((t) => [1, t]),
      x.map(() => noise * normal(random)),
      x.map(() => 0.1),
    )!;
  };

  it('follows the scatter of the data, below the errors given too, but not under half of them', () => {
    const asGiven = scatteredError(fitOf(0.1), 1);
    // Scatter by the median of 400 deviations is known to about 6 per cent.
    expect(scatteredError(fitOf(0.2), 1) / asGiven).toBeCloseTo(2, 0);
    expect(scatteredError(fitOf(0.07), 1) / asGiven).toBeCloseTo(0.7, 1);
    expect(scatteredError(fitOf(0.001), 1) / asGiven).toBeCloseTo(0.5, 1);
  });
});

describe('robustLinearFit', () => {
  it('finds a line through noise and outliers, with honest errors', () => {
    const pulls: number[] = [];
    for (let seed = 1; seed <= 60; seed++) {
      const random = seeded(seed);
      const x = Array.from({ length: 40 }, (_, k) => k / 40);
      const y = x.map((t, k) => 1 + 2 * t + 0.1 * normal(random) + (k % 13 === 0 ? 3 : 0));
      const fit = robustLinearFit(
        x.map((t) => [1, t]),
        y,
        y.map(() => 0.1),
      );
      pulls.push(((fit!.coefficients[1] - 2) / Math.sqrt(fit!.covariance[1][1])) ** 2);
    }
    const chi2 = pulls.reduce((a, b) => a + b, 0) / pulls.length;
    expect(chi2).toBeGreaterThan(0.4);
    expect(chi2).toBeLessThan(2);
  });

  it('answers null when the data cannot tell the terms apart', () => {
    const same = [1, 1, 1, 1];
    expect(
      robustLinearFit(
        same.map((t) => [1, t]),
        [1, 2, 3, 4],
        [1, 1, 1, 1],
      ),
    ).toBeNull();
    expect(robustLinearFit([[1, 0]], [1], [1])).toBeNull();
    expect(robustLinearFit([], [], [])).toBeNull();
  });
});
