import { describe, expect, it } from 'vitest';
import { widthSurface } from '../../src/field/width-surface.js';
import { madeStars } from './made-stars.js';

describe('widthSurface', () => {
  it('tells slope from bowl', () => {
    const table = madeStars(800, 3000, 2000, (x, y) => {
      const u = (x - 1500) / 1803;
      const v = (y - 1000) / 1803;
      return { fwhm: 4 * (1 + 0.05 * v + 0.1 * (u * u + v * v)) };
    });
    const { tilt, curvaturePercent } = widthSurface(table, 3000, 2000);
    expect(Math.abs(tilt!.directionDeg - 90)).toBeLessThan(25);
    // 0.1 of 4 px on a median of about 4.13: 9.7 %; three standard errors of 800 stars with 3 % noise are about 1.5 %.
    expect(Math.abs(curvaturePercent! - 9.7)).toBeLessThan(2);
  });

  it('gives the corners the error with which they scatter from field to field', () => {
    const pulls = Array.from({ length: 60 }, (_, seed) => {
      const table = madeStars(150, 3000, 2000, () => ({ fwhm: 3 }), { seed: seed + 1, noise: 0.015 });
      const surface = widthSurface(table, 3000, 2000);
      return surface.curvaturePercent! / surface.curvatureErrorPercent!;
    });
    // The rms of 60 pulls of one is known to 9 per cent; three times that.
    const rms = Math.sqrt(pulls.reduce((sum, pull) => sum + pull * pull, 0) / pulls.length);
    expect(Math.abs(rms - 1)).toBeLessThan(0.27);
  });

  it('is null with few stars, or stars on one side only', () => {
    expect(
      widthSurface(
        madeStars(11, 3000, 2000, () => ({ fwhm: 3 })),
        3000,
        2000,
      ).tilt,
    ).toBeNull();
    const bunched = madeStars(100, 3000, 2000, () => ({ fwhm: 3 }));
    for (let i = 0; i < 100; i++) bunched.x[i] = 100 + i;
    expect(widthSurface(bunched, 3000, 2000).tilt).toBeNull();
  });
});
