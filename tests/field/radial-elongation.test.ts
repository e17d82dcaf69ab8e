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
    expect(radialElongation(madeStars(400, 3000, 2000, tangential), 3000, 2000)).toBeCloseTo(-0.1, 1);
    const trailed = madeStars(400, 3000, 2000, (x, y) => {
      const star = tangential(x, y);
      return { ...star, e1: star.e1 + 0.2 };
    });
    expect(radialElongation(trailed, 3000, 2000)).toBeCloseTo(-0.1, 1);
  });

  it('is null with few stars out there', () => {
    expect(radialElongation(madeStars(9, 3000, 2000, tangential), 3000, 2000)).toBeNull();
  });
});
