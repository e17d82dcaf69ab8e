import { describe, expect, it } from 'vitest';
import { measureBackground } from '../../src/image/background-map.js';
import { findPeaks } from '../../src/image/find-peaks.js';
import { collectPeaks } from '../../src/image/peak-collector.js';
import { seeingImage, starField } from '../scenes/star-field.js';

describe('peaks', () => {
  const image = seeingImage(3);
  const stars = [
    { x: 200.3, y: 150.8, flux: 40000 },
    { x: 610.5, y: 520.2, flux: 20000 },
  ];
  const { plane } = starField(image, { stars });
  const background = measureBackground(plane);

  it('stand where the stars are, with their flux, in the rows asked for', () => {
    const found = collectPeaks();
    findPeaks(plane, background, { scalePx: 3.3, threshold: 8 }, [[0, 700]], found);
    expect(found.count).toBe(2);
    // Positions are 0-based.
    expect(Math.hypot(found.x[0] + 1 - 200.3, found.y[0] + 1 - 150.8)).toBeLessThan(1.2);
    // The matched filter is that of a Gaussian; the wings of seeing lie outside of it.
    expect(found.flux[0] / 40000).toBeGreaterThan(0.7);
    expect(found.flux[0] / 40000).toBeLessThan(1.2);
    const lower = collectPeaks();
    findPeaks(plane, background, { scalePx: 3.3, threshold: 8 }, [[0, 300]], lower);
    expect(lower.count).toBe(1);
  });

  it('are few in pure noise at five sigma', () => {
    const dark = starField(image, { stars: [] }).plane;
    const found = collectPeaks();
    findPeaks(dark, measureBackground(dark), { scalePx: 3, threshold: 5 }, [[0, 700]], found);
    expect(found.count).toBeLessThanOrEqual(2);
  });
});
