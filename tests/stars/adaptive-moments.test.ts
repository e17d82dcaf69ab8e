import { describe, expect, it } from 'vitest';
import { measureMoments, momentsUnder } from '../../src/stars/adaptive-moments.js';
import { gaussian, stretched, sumOf } from '../scenes/profiles.js';
import { makeStarImage } from '../scenes/star-image.js';
import { windowOf } from '../scenes/window.js';

const round = { xx: 3, xy: 0, yy: 3 };

describe('adaptive moments', () => {
  it.each([1.5, 2.5, 4])('of a Gaussian star of width %d px are its variances, pixel included', (fwhm) => {
    const truth = (fwhm / 2.3548) ** 2 + 1 / 12;
    const image = makeStarImage(gaussian(fwhm), 5 * fwhm, 16);
    for (const [dx, dy] of [
      [0, 0],
      [0.3, -0.4],
    ]) {
      const m = measureMoments(windowOf(image, { dx, dy }), { x: 16, y: 16, shape: round }, 0, 0);
      expect(m).not.toBeNull();
      // A narrow star falls on so few pixels that sums over them stray by a few per cent.
      expect(Math.abs(m!.mxx / truth - 1)).toBeLessThan(fwhm < 2 ? 0.06 : 0.01);
      expect(Math.hypot(m!.x - 16 - dx, m!.y - 16 - dy)).toBeLessThan(fwhm < 2 ? 0.05 : 0.005);
      expect(Math.abs(m!.flux / 10000 - 1)).toBeLessThan(0.02);
    }
  });

  it('give the axes and angle of a drawn-out star', () => {
    const image = makeStarImage(stretched(gaussian(3), 1.6, 35), 16, 10);
    const m = measureMoments(windowOf(image), { x: 16, y: 16, shape: round }, 0, 0)!;
    const angle = (Math.atan2(2 * m.mxy, m.mxx - m.myy) * 90) / Math.PI;
    expect(Math.abs(angle - 35)).toBeLessThan(0.3);
    const half = (m.mxx + m.myy) / 2;
    const split = Math.hypot((m.mxx - m.myy) / 2, m.mxy);
    const variance = (3 / 2.3548) ** 2;
    expect((half + split) / (half - split)).toBeCloseTo(
      (1.6 * variance + 1 / 12) / (variance / 1.6 + 1 / 12),
      1,
    );
  });

  it('tell a one-sided flare from a symmetric star', () => {
    const plain = makeStarImage(gaussian(3), 14, 10);
    const flared = makeStarImage(sumOf(gaussian(3), gaussian(3), 0.25, 2.2, 0), 16, 10);
    const none = measureMoments(windowOf(plain, { dx: 0.2 }), { x: 16, y: 16, shape: round }, 0, 0)!;
    const some = measureMoments(windowOf(flared), { x: 16, y: 16, shape: round }, 0, 0)!;
    expect(Math.abs(none.skewX)).toBeLessThan(0.005);
    expect(some.skewX).toBeGreaterThan(0.03);
    expect(Math.abs(some.skewY)).toBeLessThan(0.005);
  });

  it('state errors that the scatter over noise confirms', () => {
    const image = makeStarImage(gaussian(3), 14, 8);
    const sizes: number[] = [];
    const fluxes: number[] = [];
    const skews: number[] = [];
    let stated = { m: 0, flux: 0, skew: 0 };
    for (let seed = 1; seed <= 300; seed += 1) {
      const m = measureMoments(windowOf(image, { noise: 12, seed }), { x: 16, y: 16, shape: round }, 0, 0);
      if (m === null) continue;
      sizes.push((m.mxx + m.myy) / 2);
      fluxes.push(m.flux);
      skews.push(m.skewX);
      stated = { m: m.mError, flux: m.fluxError, skew: m.skewError };
    }
    const sd = (v: number[]): number => {
      const mean = v.reduce((a, b) => a + b, 0) / v.length;
      return Math.sqrt(v.reduce((a, b) => a + (b - mean) ** 2, 0) / (v.length - 1));
    };
    // 300 draws know an sd to 4 %; the error formulas are first order.
    expect(sd(sizes) / stated.m).toBeGreaterThan(0.85);
    expect(sd(sizes) / stated.m).toBeLessThan(1.2);
    // The matched filter's noise is that for a known place and shape; a free shape lets the flux move more.
    expect(sd(fluxes) / stated.flux).toBeGreaterThan(0.9);
    expect(sd(fluxes) / stated.flux).toBeLessThan(1.8);
    expect(sd(skews) / stated.skew).toBeGreaterThan(0.75);
    expect(sd(skews) / stated.skew).toBeLessThan(1.3);
  });

  it('are null for a single hot pixel and for empty sky', () => {
    const image = makeStarImage(gaussian(3), 14, 8);
    const hot = windowOf(image, { flux: 0, noise: 3 });
    hot.values[16 * 33 + 16] = 8000;
    expect(measureMoments(hot, { x: 16, y: 16, shape: round }, 0, 0)).toBeNull();
    const empty = windowOf(image, { flux: 0 });
    expect(measureMoments(empty, { x: 16, y: 16, shape: round }, 0, 0)).toBeNull();
  });

  it('are told roughly by a single step, even of what has no Gaussian', () => {
    const image = makeStarImage(gaussian(3), 14, 8);
    const variance = (3 / 2.3548) ** 2 + 1 / 12;
    const like = { xx: variance, xy: 0, yy: variance };
    const star = momentsUnder(windowOf(image, { flux: 5e4, noise: 1 }), 16, 16, like, 0);
    expect(Math.abs(star.flux / 5e4 - 1)).toBeLessThan(0.02);
    expect(Math.abs((star.moments?.xx ?? NaN) / variance - 1)).toBeLessThan(0.03);
    const hot = windowOf(image, { flux: 0 });
    hot.values[16 * 33 + 16] = 8000;
    expect(momentsUnder(hot, 16, 16, round, 0).moments).toBeNull();
    expect(momentsUnder(windowOf(image, { flux: 0 }), 16, 16, round, 1).flux).toBe(0);
  });
});
