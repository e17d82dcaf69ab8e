import { describe, expect, it } from 'vitest';
import { fitStars } from '../../src/stars/fit-stars.js';
import { learnWings } from '../../src/stars/learn-wings.js';
import { halfFluxOverWidth } from '../../src/stars/profile-half-flux.js';
import { lookedAt } from '../scenes/looked-at.js';
import { seeingImage } from '../scenes/star-field.js';

const image = seeingImage(3);
const { setting, looks } = lookedAt(image, { count: 150, snr: [60, 1500], electronsPerAdu: 2 });
const all = [...looks.keys()].filter((k) => looks[k].flags === 0);

describe('fitting the stars of a frame', () => {
  const frame = fitStars(setting, looks, all, all, null);

  it('gives widths that the correction turns into those of the light', () => {
    const widths = [...frame.fits.values()].map((s) => Math.sqrt(s.major * s.minor)).sort((a, b) => a - b);
    const median = widths[widths.length >> 1] * Math.sqrt(frame.correction.major * frame.correction.minor);
    // 100 stars of signal to noise 60 and more: about 0.1 %.
    expect(Math.abs(median / image.truth.fwhm - 1)).toBeLessThan(0.005);
    expect(frame.fits.size).toBeGreaterThan(0.9 * all.length);
  });

  it('learns the gain from the stars when the header does not give it', () => {
    // Variance per ADU of starlight is 1 / 2 at two electrons per ADU; misfit of the profile adds a little.
    expect(frame.photonFactor).toBeGreaterThan(0.3);
    expect(frame.photonFactor).toBeLessThan(0.9);
    expect(fitStars(setting, looks, all.slice(0, 5), all.slice(0, 5), 2).photonFactor).toBe(0.5);
  });

  it('finds the exponent that seeing has under equal weights, and falls back on it without stars', () => {
    expect(1 / frame.gamma).toBeGreaterThan(4.5);
    expect(1 / frame.gamma).toBeLessThan(7.5);
    const none = fitStars(setting, looks, [], [], null);
    expect(none.fits.size).toBe(0);
    expect(none.correction.major).toBe(1);
    expect(1 / none.gamma).toBeCloseTo(5.9, 6);
  });

  it('is the ground for wings and for the half-flux circle of narrow stars', () => {
    const wings = learnWings(setting, looks, all, frame);
    // Kolmogorov seeing of this width: 1.08 at 1.35 moment widths.
    expect(wings.totalOverReference).toBeGreaterThan(1.05);
    expect(wings.totalOverReference).toBeLessThan(1.1);
    const ratio = halfFluxOverWidth(setting, looks, all, frame, wings)!.overWidth;
    const widths = [...frame.fits.values()].map((s) => Math.sqrt(s.major * s.minor)).sort((a, b) => a - b);
    expect(Math.abs((ratio * widths[widths.length >> 1]) / image.truth.hfd - 1)).toBeLessThan(0.012);
    expect(halfFluxOverWidth(setting, looks, [], frame, wings)).toBeNull();
  });
});
