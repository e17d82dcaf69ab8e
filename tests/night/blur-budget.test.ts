import { describe, expect, it } from 'vitest';
import { blurBudget, FWHM_PER_SIGMA } from '../../src/night/blur-budget.js';
import { NOTHING_SHARED } from '../../src/night/joint-fit-start.js';
import { SENSOR_MEANS } from './exact-frames.js';

const none = { tilt: 0, medial: 0, astigmatism: 0, focus: 0 };

describe('blurBudget', () => {
  it('gives each source its part, in arcseconds', () => {
    const own = { seeing: 0.2 * 9 + 1 / 12, focus: 4, plus: 0.03, cross: 0.04 };
    const budget = blurBudget(NOTHING_SHARED, own, 1, SENSOR_MEANS, none, 2);
    expect(budget.unit).toBe('arcsec');
    // Three pixels of Kolmogorov seeing; a disc of four pixels has a variance of 1 px^2 per axis.
    expect(budget.seeing).toBeCloseTo(6, 6);
    expect(budget.focus).toBeCloseTo(2 * FWHM_PER_SIGMA, 6);
    expect(budget.tracking).toBeCloseTo(2 * FWHM_PER_SIGMA * Math.sqrt(0.05), 6);
    expect(budget.tilt).toBe(0);
    expect(budget.curvature).toBe(0);
    expect(budget.coma).toBe(0);
  });

  it('answers null for focus and seeing when they cannot be told apart', () => {
    const own = { seeing: 1.8, focus: 0.5, plus: 0, cross: 0 };
    const budget = blurBudget(NOTHING_SHARED, own, 1, SENSOR_MEANS, { ...none, focus: 8 }, null);
    expect(budget.unit).toBe('px');
    expect(budget.seeing).toBeNull();
    expect(budget.focus).toBeNull();
    expect(budget.seeingOrFocus).toBeCloseTo(Math.sqrt((1.8 - 1 / 12) / 0.2), 6);
  });

  it('says so too when a doubtful focus may be a large part', () => {
    const own = { seeing: 0.2 * 33, focus: 5.5, plus: 0, cross: 0 };
    const doubtful = blurBudget(NOTHING_SHARED, own, 1, SENSOR_MEANS, { ...none, focus: 1.9 }, null);
    expect(doubtful.focus).toBeNull();
    expect(doubtful.seeingOrFocus).toBeGreaterThan(5.7);
    const sure = blurBudget(NOTHING_SHARED, own, 1, SENSOR_MEANS, { ...none, focus: 0.5 }, null);
    expect(sure.focus).toBeGreaterThan(3);
    expect(sure.seeingOrFocus).toBeUndefined();
  });

  it('takes out what noise alone would give', () => {
    const own = { seeing: 1.8, focus: 0, plus: 0, cross: 0 };
    const budget = blurBudget(
      { ...NOTHING_SHARED, km: 0.2 },
      own,
      1,
      SENSOR_MEANS,
      { ...none, medial: 0.3 },
      null,
    );
    expect(budget.curvature).toBe(0);
  });
});
