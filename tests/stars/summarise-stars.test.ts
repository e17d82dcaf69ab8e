import { describe, expect, it } from 'vitest';
import { summariseStars } from '../../src/stars/summarise-stars.js';
import { StarFlag } from '../../src/stars/types.js';
import { tableOf } from '../scenes/star-table.js';

describe('frame summary', () => {
  it('gives medians with errors and counts', () => {
    const s = summariseStars(tableOf({ count: 120, fwhm: 3.2 }), 1000, 800);
    expect(Math.abs(s.fwhm.value! - 3.2)).toBeLessThan(5 * s.fwhm.standardError!);
    expect(s.fwhm.standardError!).toBeLessThan(0.01);
    expect(s.fwhm.count).toBe(120);
    expect(s.hfd.value!).toBeCloseTo(1.1 * s.fwhm.value!, 2);
    expect(s.beta.value).toBe(4);
    expect(s.unmeasured).toEqual({});
  });

  it('counts the error that all widths share beside that of the median', () => {
    const table = tableOf({ count: 120, fwhm: 3.2 });
    const own = summariseStars(table, 1000, 800).fwhm.standardError!;
    const ownHfd = summariseStars(table, 1000, 800).hfd.standardError!;
    table.fwhmSharedError = 0.004;
    table.hfdSharedError = 0.006;
    const s = summariseStars(table, 1000, 800);
    expect(s.fwhm.standardError!).toBeCloseTo(Math.hypot(own, 0.004 * s.fwhm.value!), 9);
    expect(s.hfd.standardError!).toBeCloseTo(Math.hypot(ownHfd, 0.006 * s.hfd.value!), 9);
    expect(s.elongation).toEqual(summariseStars({ ...table, fwhmSharedError: 0 }, 1000, 800).elongation);
  });

  it('does not make round stars long by noise', () => {
    // The issue: a round star must not report 1.08; stars here scatter by 0.08 in each component.
    const s = summariseStars(tableOf({ count: 60, eError: 0.08 }), 1000, 800);
    expect(s.elongation.value!).toBeLessThan(1.02);
    const sparse = summariseStars(tableOf({ count: 8, eError: 0.08 }), 1000, 800);
    expect(sparse.elongation.value!).toBeLessThan(1.06);
  });

  it('keeps a real elongation, common or patterned', () => {
    const e = 0.2;
    const truth = Math.sqrt((1 + e) / (1 - e));
    expect(
      Math.abs(
        summariseStars(tableOf({ count: 60, e1: e, eError: 0.03 }), 1000, 800).elongation.value! - truth,
      ),
    ).toBeLessThan(0.01);
    const pattern = summariseStars(
      tableOf({ count: 300, e1: (x) => 0.2 * ((x - 500) / 500), eError: 0.02 }),
      1000,
      800,
    );
    // |e| is even between 0 and 0.2: its median is 0.1.
    expect(Math.abs(pattern.elongation.value! - Math.sqrt(1.1 / 0.9))).toBeLessThan(0.02);
  });

  it('is not ruled by a cluster in a corner', () => {
    const table = tableOf({ count: 400 });
    for (let k = 0; k < 250; k += 1) {
      table.x[k] = 30 + (k % 16);
      table.y[k] = 30 + Math.floor(k / 16);
      table.fwhm[k] *= 1.3;
    }
    expect(Math.abs(summariseStars(table, 1000, 800).fwhm.value! / 3 - 1)).toBeLessThan(0.02);
  });

  it('says that there are too few stars to tell', () => {
    const table = tableOf({ count: 10 });
    table.flags.fill(StarFlag.TooSharp);
    const s = summariseStars(table, 1000, 800);
    expect(s.fwhm).toEqual({ value: null, standardError: null, count: 0 });
    expect(s.elongation.value).toBeNull();
    expect(s.unmeasured.fwhm).toContain('too few stars to tell');
    expect(s.trail.angleDeg).toBeNull();
  });
});
