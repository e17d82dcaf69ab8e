import { describe, expect, it } from 'vitest';
import { ellipticityField } from '../../src/stars/ellipticity-field.js';
import { chooseSummaryStars } from '../../src/stars/summary-stars.js';
import { tableOf } from '../scenes/star-table.js';

const fieldOf = (options: Parameters<typeof tableOf>[0]) => {
  const table = tableOf(options);
  const summary = chooseSummaryStars(table, 1000, 800);
  return { table, summary, field: ellipticityField(table, summary, 1000, 800) };
};

describe('ellipticity field', () => {
  it('averages the noise of single stars away', () => {
    const { field } = fieldOf({ count: 200, eError: 0.05, e1: 0.1 });
    const worst = Math.max(...field.e1.map((e) => Math.abs(e - 0.1)));
    expect(worst).toBeLessThan(0.05);
    const rms = Math.sqrt(field.e1.reduce((s, e) => s + (e - 0.1) ** 2, 0) / 200);
    expect(rms).toBeLessThan(0.016);
    // Ten terms on 200 stars: about sqrt(10 / 200) of one star's error.
    expect(rms / field.error.reduce((s, e) => s + e / 200, 0)).toBeLessThan(2);
  });

  it('follows a pattern over the field', () => {
    const radial = (x: number): number => 0.0003 * (x - 500);
    const { table, summary, field } = fieldOf({ count: 300, eError: 0.02, e1: radial });
    summary.stars.forEach((s, k) => expect(Math.abs(field.e1[k] - radial(table.x[s]))).toBeLessThan(0.03));
  });

  it('is not moved by a few wild stars', () => {
    const table = tableOf({ count: 100, eError: 0.01 });
    for (let k = 0; k < 100; k += 20) table.e1[k] = 0.8;
    const summary = chooseSummaryStars(table, 1000, 800);
    const { e1 } = ellipticityField(table, summary, 1000, 800);
    expect(Math.abs([...e1].sort((a, b) => a - b)[50])).toBeLessThan(0.01);
  });

  it('is constant for few stars and empty for none', () => {
    const { field } = fieldOf({ count: 6, e2: 0.05 });
    expect(new Set(field.e2).size).toBe(1);
    expect(fieldOf({ count: 0 }).field.e1.length).toBe(0);
  });
});
