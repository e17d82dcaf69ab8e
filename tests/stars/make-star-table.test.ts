import { describe, expect, it } from 'vitest';
import { fitStars } from '../../src/stars/fit-stars.js';
import { makeStarTable } from '../../src/stars/make-star-table.js';
import { seeingImage } from '../scenes/star-field.js';
import { lookedAt } from '../scenes/looked-at.js';

describe('making the star table', () => {
  const image = seeingImage(4.5);
  const { setting, looks } = lookedAt(image, { count: 120, snr: [40, 800] });
  const clean = [...looks.keys()].filter((k) => looks[k].flags === 0);
  // Every other star is fitted: the rest must come out on the same scale.
  const fitted = clean.filter((_, i) => i % 2 === 0);
  const table = makeStarTable(setting, looks, fitStars(setting, looks, fitted, fitted, 1), fitted);

  it('puts stars without a fit on the scale of the fits', () => {
    const width = (isFitted: boolean): number => {
      const values: number[] = [];
      for (let k = 0; k < table.count; k += 1) {
        if (table.flags[k] === 0 && table.snr[k] > 60 && Number.isFinite(table.beta[k]) === isFitted)
          values.push(table.fwhm[k]);
      }
      return values.sort((a, b) => a - b)[values.length >> 1];
    };
    expect(Math.abs(width(true) / image.truth.fwhm - 1)).toBeLessThan(0.01);
    expect(Math.abs(width(false) / width(true) - 1)).toBeLessThan(0.015);
  });

  it('is sorted by flux and speaks FITS coordinates', () => {
    for (let k = 1; k < table.count; k += 1) expect(table.flux[k]).toBeLessThanOrEqual(table.flux[k - 1]);
    const brightest = looks[clean[0]];
    expect(
      Math.hypot(table.x[0] - brightest.moments!.x - 1, table.y[0] - brightest.moments!.y - 1),
    ).toBeLessThan(1);
  });

  it('states errors of width and half-flux diameter that the scatter confirms', () => {
    const pulls: { fwhm: number[]; hfd: number[]; e: number[] } = { fwhm: [], hfd: [], e: [] };
    for (let k = 0; k < table.count; k += 1) {
      if (table.flags[k] !== 0 || !Number.isFinite(table.beta[k])) continue;
      pulls.fwhm.push(Math.abs(table.fwhm[k] - image.truth.fwhm) / table.fwhmError[k]);
      pulls.hfd.push(Math.abs(table.hfd[k] - image.truth.hfd) / table.hfdError[k]);
      pulls.e.push(Math.hypot(table.e1[k], table.e2[k]) / table.eError[k]);
    }
    const median = (v: number[]): number => [...v].sort((a, b) => a - b)[v.length >> 1];
    // Median of |normal| is 0.67, of a two-dimensional one 1.18; some fifty stars know them to 15 %, three times of which is granted, and faint blends add.
    expect(median(pulls.fwhm)).toBeLessThan(1);
    expect(median(pulls.fwhm)).toBeGreaterThan(0.4);
    expect(median(pulls.hfd)).toBeLessThan(1.3);
    expect(median(pulls.e)).toBeLessThan(1.8);
    expect(median(pulls.e)).toBeGreaterThan(0.7);
  });
});
