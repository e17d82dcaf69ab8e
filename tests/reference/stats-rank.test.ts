import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import {
  hodgesLehmann,
  individualsChart,
  kendallScore,
  mannKendall,
  mannWhitney,
  normalCdf,
  normalQuantile,
  normalTwoSidedP,
  rankSumDistribution,
  theilSen,
} from '../../src/stats/index.js';

// Recorded with scipy by stats-scipy.py beside this file.
const recorded = JSON.parse(readFileSync(new URL('./stats-scipy.json', import.meta.url), 'utf8')) as {
  source: string;
  cases: {
    normal: { z: number[]; cdf: number[]; p: number[]; quantile: number[] };
    series: {
      x: number[];
      y: number[];
      score: number;
      slope: number;
      intercept: number;
      low: number;
      high: number;
      pWithoutContinuity: number;
    }[];
    pairs: { a: number[]; b: number[]; u: number; p: number; method: string; shift: number }[];
  };
};

/** Relative agreement; 1e-12 leaves room for a different order of adding. */
const close = (actual: number, expected: number, relative = 1e-12) =>
  expect(Math.abs(actual - expected)).toBeLessThanOrEqual(relative * Math.abs(expected) + 1e-300);

describe(`rank statistics against ${recorded.source}`, () => {
  const { normal, series, pairs } = recorded.cases;

  it('normal distribution, both tails', () => {
    normal.z.forEach((z, i) => close(normalCdf(z), normal.cdf[i], 1e-13));
    normal.p.forEach((p, i) =>
      p === 0.5 ? expect(normalQuantile(p)).toBeCloseTo(0, 14) : close(normalQuantile(p), normal.quantile[i]),
    );
  });

  it('Theil-Sen slope, intercept and interval, ties included', () => {
    for (const { x, y, slope, intercept, low, high } of series) {
      const line = theilSen(x, y)!;
      close(line.slope, slope);
      close(line.intercept, intercept, 1e-10);
      close(line.low, low);
      close(line.high, high);
    }
  });

  it("Kendall's score, and its variance through the p-value", () => {
    for (const { x, y, score, pWithoutContinuity } of series) {
      const found = kendallScore(x, y);
      expect(found.score).toBe(score);
      close(normalTwoSidedP(found.score / Math.sqrt(found.variance)), pWithoutContinuity, 1e-9);
    }
  });

  it('Mann-Whitney, exact and normal, and the Hodges-Lehmann shift', () => {
    for (const { a, b, u, p, method, shift } of pairs) {
      const test = mannWhitney(a, b)!;
      expect(test.u).toBe(u);
      expect(test.method).toBe(method === 'exact' ? 'exact' : 'normal');
      close(test.p, p, 1e-9);
      close(hodgesLehmann(a, b)!.shift, shift, 1e-12);
    }
  });
});

describe('published worked examples', () => {
  it('NIST/SEMATECH e-Handbook 6.3.2.2, flow rate of ten batches (data and limits from memory)', () => {
    const chart = individualsChart([49.6, 47.6, 49.9, 51.3, 47.8, 51.2, 52.6, 52.4, 53.6, 52.1])!;
    expect(chart.centre).toBeCloseTo(50.81, 6);
    // Mean moving range 1.8778, limits 55.8041 and 45.8159 as printed there.
    expect(chart.sigma * 1.128).toBeCloseTo(1.8778, 4);
    expect(chart.upperLimit).toBeCloseTo(55.8041, 3);
    expect(chart.lowerLimit).toBeCloseTo(45.8159, 3);
  });

  it('Mann-Kendall "by hand": S = 54, Z = 2.9058 (J. Little, College of the Holy Cross, MannKendallByHand)', () => {
    const y = [12.9, 14.8, 13.2, 15.7, 13.8, 15.6, 12.9, 11.0, 17.3, 15.9, 19.0, 18.3, 20.1, 21.7];
    const test = mannKendall(
      y.map((_, i) => i),
      y,
    )!;
    expect(test.score).toBe(54);
    expect(test.z).toBeCloseTo(2.9058, 4);
    expect(test.p / 2).toBeCloseTo(0.0018, 4);
  });

  it('rank sum, Hollander & Wolfe 1973, permeability constants: W = 35, one-sided p 0.1272', () => {
    const x = [0.8, 0.83, 1.89, 1.04, 1.45, 1.38, 1.91, 1.64, 0.73, 1.46];
    const y = [1.15, 0.88, 0.9, 0.74, 1.21];
    const test = mannWhitney(x, y)!;
    expect(test.u).toBe(35);
    expect(test.p / 2).toBeCloseTo(0.1272, 4);
    // Hollander & Wolfe 1999, example 4.3 and 4.4: shift -0.305, 96 % interval -0.76 to 0.15 (from memory).
    const shift = hodgesLehmann(x, y, 0.96)!;
    expect(shift.shift).toBeCloseTo(-0.305, 9);
    expect(shift.low).toBeCloseTo(-0.76, 9);
    expect(shift.high).toBeCloseTo(0.15, 9);
  });

  it('rank sum, I. Ruczinski, Statistics for Laboratory Scientists: W = 8, p 0.02557', () => {
    const x = [43.3, 57.1, 35.0, 50.0, 38.2, 61.2];
    const y = [51.9, 95.1, 90.0, 49.7, 101.5, 74.1, 84.5, 46.8, 75.1];
    const test = mannWhitney(x, y)!;
    expect(test.u).toBe(8);
    expect(test.p).toBeCloseTo(0.02557, 5);
  });

  it('the distribution of U adds up and is symmetric for large samples too', () => {
    const probability = rankSumDistribution(40, 40);
    expect(probability.reduce((a, b) => a + b, 0)).toBeCloseTo(1, 12);
    expect(probability[300]).toBeCloseTo(probability[1300], 14);
  });
});
