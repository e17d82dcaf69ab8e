import { describe, expect, it } from 'vitest';
import { radialElongation } from '../../src/field/radial-elongation.js';
import { madeStars } from './made-stars.js';

const tangential = (x: number, y: number) => {
  const u = x - 1500;
  const v = y - 1000;
  const r2 = u * u + v * v;
  return { fwhm: 3, e1: (-0.1 * (u * u - v * v)) / r2, e2: (-0.2 * u * v) / r2 };
};

describe('radialElongation', () => {
  it('is negative when the outer stars are drawn out around the centre, whatever trail lies over it', () => {
    expect(radialElongation(madeStars(400, 3000, 2000, tangential), 3000, 2000).radial).toBeCloseTo(-0.1, 1);
    const trailed = madeStars(400, 3000, 2000, (x, y) => {
      const star = tangential(x, y);
      return { ...star, e1: star.e1 + 0.2 };
    });
    expect(radialElongation(trailed, 3000, 2000).radial).toBeCloseTo(-0.1, 1);
  });

  it('has the error with which it scatters from field to field', () => {
    const pulls = Array.from({ length: 60 }, (_, seed) => {
      const table = madeStars(150, 3000, 2000, () => ({ fwhm: 3 }), { seed: seed + 1 });
      const { radial, radialError } = radialElongation(table, 3000, 2000);
      return radial! / radialError!;
    });
    // The rms of 60 pulls of one is known to 9 per cent; three times that.
    const rms = Math.sqrt(pulls.reduce((sum, pull) => sum + pull * pull, 0) / pulls.length);
    expect(Math.abs(rms - 1)).toBeLessThan(0.27);
  });

  it('is null with few stars out there', () => {
    expect(radialElongation(madeStars(9, 3000, 2000, tangential), 3000, 2000)).toEqual({
      radial: null,
      radialError: null,
    });
  });
});
