import { describe, expect, it } from 'vitest';
import { fluxWithin, measureFluxWithin, measureGrowth, radiusOfFlux } from '../../src/stars/growth-curve.js';
import { annulus, convolved, gaussian } from '../scenes/profiles.js';
import { makeStarImage, type StarImage } from '../scenes/star-image.js';
import { windowOf } from '../scenes/window.js';

function halfFluxDiameter(image: StarImage, dx: number, dy: number, radius: number): number {
  const window = windowOf(image, { flux: 1000, dx, dy, radius: radius + 3 });
  const curve = measureGrowth(window, radius + 3 + dx, radius + 3 + dy, radius, 0, false);
  return 2 * radiusOfFlux(curve, 500);
}

describe('curve of growth', () => {
  // The issue: within 1 % for Gaussian and disc truths, within 3 % for defocused rings of 30 px.
  it.each([
    ['Gaussian of 3 px', makeStarImage(gaussian(3), 14, 12), 8, 0.01],
    ['Gaussian of 6 px', makeStarImage(gaussian(6), 20, 6), 16, 0.01],
    ['blurred disc of 12 px', makeStarImage(convolved(gaussian(2), annulus(12), 6.5, 0.4), 12, 6), 11, 0.01],
    [
      'blurred ring of 30 px',
      makeStarImage(convolved(gaussian(3), annulus(30, 0.4), 15.5, 1), 24, 4),
      22,
      0.03,
    ],
  ])('gives the half-flux diameter of a %s', (_name, image, radius, limit) => {
    for (const [dx, dy] of [
      [0, 0],
      [0.4, -0.3],
    ]) {
      expect(Math.abs(halfFluxDiameter(image, dx, dy, radius) / image.truth.hfd - 1)).toBeLessThan(limit);
    }
  });

  it('of a Gaussian equals its width, of a disc its diameter over root two', () => {
    // Definition (SCIENCE of half-flux diameter): FWHM for a Gaussian, D / sqrt 2 for a uniform disc; the pixel adds its variance.
    const gauss = makeStarImage(gaussian(6), 20, 6);
    expect(halfFluxDiameter(gauss, 0, 0, 16)).toBeCloseTo(Math.sqrt(36 + (8 * Math.LN2) / 12), 1);
    const disc = makeStarImage(annulus(16), 12, 8);
    expect(Math.abs(halfFluxDiameter(disc, 0, 0, 11) / (16 / Math.SQRT2) - 1)).toBeLessThan(0.01);
  });

  it('bridges masked pixels with the mean of their ring', () => {
    const image = makeStarImage(gaussian(5), 16, 8);
    const window = windowOf(image, { flux: 1000, radius: 16 });
    for (let k = 0; k < window.width * window.height; k += 1) {
      if (((k % window.width) + Math.floor(k / window.width)) % 2 === 0) window.usable[k] = 0;
    }
    const curve = measureGrowth(window, 16, 16, 12, 0, true);
    expect(Math.abs(fluxWithin(curve, 12) / 1000 - 1)).toBeLessThan(0.01);
    expect(Math.abs((2 * radiusOfFlux(curve, 500)) / image.truth.hfd - 1)).toBeLessThan(0.02);
  });

  it('never reaches more flux than there is', () => {
    const curve = measureGrowth(
      windowOf(makeStarImage(gaussian(3), 14, 8), { flux: 1000 }),
      16,
      16,
      8,
      0,
      false,
    );
    expect(radiusOfFlux(curve, 5000)).toBeNaN();
  });

  it('ends where the flux within the radius does, with pixels missing or not', () => {
    for (const isMosaic of [false, true]) {
      const window = windowOf(makeStarImage(gaussian(3), 14, 8), { flux: 1000, noise: 3, dx: 0.3, dy: -0.2 });
      for (const radius of [2.1, 5, 9.4]) {
        const curve = measureGrowth(window, 16.3, 15.8, radius, 1, isMosaic);
        const flux = measureFluxWithin(window, 16.3, 15.8, radius, 1, isMosaic);
        // Pieces at the rim are counted alike; sums in 32-bit floats.
        expect(Math.abs(flux / fluxWithin(curve, radius) - 1)).toBeLessThan(1e-5);
      }
    }
  });
});
