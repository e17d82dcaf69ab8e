import { describe, expect, it } from 'vitest';
import { makePixelStar } from '../../src/simulate/pixel-star.js';
import { gaussianProfile, kolmogorovProfile } from '../../src/simulate/seeing-profile.js';

/** Sum and variance along x of the pixels of one phase. */
function phaseMoments(star: ReturnType<typeof makePixelStar>, px: number, py: number): [number, number] {
  let sum = 0;
  let xx = 0;
  let x1 = 0;
  for (let row = 0; row < star.side; row++) {
    for (let column = 0; column < star.side; column++) {
      const value = star.samples[((py * star.phases + px) * star.side + row) * star.side + column];
      const x = column - star.halfWidth + px / star.phases;
      sum += value;
      x1 += value * x;
      xx += value * x * x;
    }
  }
  return [sum, xx / sum - (x1 / sum) ** 2];
}

describe('makePixelStar', () => {
  it('keeps the flux at every phase and adds 1/12 px^2 of the pixel to the variance', () => {
    const star = makePixelStar(gaussianProfile(2.5), 12);
    const variance = 2.5 ** 2 / (8 * Math.LN2) + 1 / 12;
    for (const [px, py] of [
      [0, 0],
      [3, 1],
      [star.phases - 1, star.phases - 1],
    ]) {
      const [sum, xx] = phaseMoments(star, px, py);
      // Single-precision samples and four-point quadrature.
      expect(sum).toBeCloseTo(1, 5);
      expect(xx).toBeCloseTo(variance, 4);
    }
  });

  it('is symmetric about the star', () => {
    const star = makePixelStar(kolmogorovProfile(3), 8);
    const at = (fx: number, fy: number): number => {
      const x = fx + 8 * star.phases;
      const y = fy + 8 * star.phases;
      const px = x % star.phases;
      const py = y % star.phases;
      return star.samples[
        ((py * star.phases + px) * star.side + (y - py) / star.phases) * star.side + (x - px) / star.phases
      ];
    };
    expect(at(5, 11)).toBe(at(-5, 11));
    expect(at(5, 11)).toBe(at(11, -5));
  });
});
