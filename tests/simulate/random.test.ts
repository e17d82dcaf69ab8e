import { describe, expect, it } from 'vitest';
import { makeRandom } from '../../src/simulate/random.js';

function moments(draw: () => number, n: number): { mean: number; variance: number; skewness: number } {
  const values = Array.from({ length: n }, draw);
  const mean = values.reduce((a, b) => a + b, 0) / n;
  const central = (k: number): number => values.reduce((a, b) => a + (b - mean) ** k, 0) / n;
  return { mean, variance: central(2), skewness: central(3) / central(2) ** 1.5 };
}

describe('makeRandom', () => {
  it('repeats itself for equal seeds and labels, and differs for others', () => {
    const first = (...labels: (string | number)[]): number => makeRandom(7, ...labels).uniform();
    expect(first('frame', 3)).toBe(first('frame', 3));
    expect(first('frame', 3)).not.toBe(first('frame', 4));
    expect(makeRandom(8, 'frame', 3).uniform()).not.toBe(first('frame', 3));
  });

  it('gives uniform deviates: mean 1/2, variance 1/12', () => {
    const random = makeRandom(1);
    const { mean, variance } = moments(random.uniform, 100_000);
    // Four standard errors: 4 sqrt(1/12/n) and 4 sqrt(1/180/n).
    expect(Math.abs(mean - 0.5)).toBeLessThan(0.0037);
    expect(Math.abs(variance - 1 / 12)).toBeLessThan(0.00095);
  });

  it('gives normal deviates: mean 0, variance 1, no skewness', () => {
    const random = makeRandom(2);
    const { mean, variance, skewness } = moments(random.normal, 100_000);
    expect(Math.abs(mean)).toBeLessThan(0.0127);
    expect(Math.abs(variance - 1)).toBeLessThan(0.018);
    expect(Math.abs(skewness)).toBeLessThan(0.031);
  });

  it.each([0.05, 0.7, 5, 9.9, 10.1, 47, 400, 2500])('gives Poisson deviates of mean %d', (mean) => {
    const random = makeRandom(3, mean);
    const n = 60_000;
    const found = moments(() => random.poisson(mean), n);
    expect(Math.abs(found.mean - mean)).toBeLessThan(4 * Math.sqrt(mean / n));
    // Variance of a sample variance of a Poisson law: (mu4 - mu2^2)/n with mu4 = mean + 3 mean^2.
    expect(Math.abs(found.variance - mean)).toBeLessThan(4.5 * Math.sqrt((mean + 2 * mean * mean) / n));
  });

  it('has the exact Poisson probabilities at a low mean', () => {
    const random = makeRandom(4);
    const n = 100_000;
    const seen = [0, 0, 0, 0];
    for (let i = 0; i < n; i++) {
      const k = random.poisson(1.3);
      if (k < 4) seen[k]++;
    }
    let probability = Math.exp(-1.3);
    for (let k = 0; k < 4; k++) {
      const error = Math.sqrt((probability * (1 - probability)) / n);
      expect(Math.abs(seen[k] / n - probability)).toBeLessThan(4 * error);
      probability *= 1.3 / (k + 1);
    }
  });

  it('gives 0 for a mean that is zero, negative or NaN', () => {
    const random = makeRandom(5);
    expect([0, -3, Number.NaN].map(random.poisson)).toEqual([0, 0, 0]);
  });
});
