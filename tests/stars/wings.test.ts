import { describe, expect, it } from 'vitest';
import { fluxWithin, measureGrowth } from '../../src/stars/growth-curve.js';
import { collectWings, describeWings, makeWingCollector } from '../../src/stars/wings.js';
import { gaussian, kolmogorov, twoGaussians } from '../scenes/profiles.js';
import { makeStarImage, type StarImage } from '../scenes/star-image.js';
import { windowOf } from '../scenes/window.js';

function wingsOf(image: StarImage, width: number, noise: number) {
  const collector = makeWingCollector(1.35);
  for (let seed = 1; seed <= 6; seed += 1) {
    const radius = Math.ceil(6 * width) + 2;
    const window = windowOf(image, { flux: 1e5, noise, seed, radius, level: 3, dx: seed / 13 });
    const growth = measureGrowth(window, radius + seed / 13, radius, 1.35 * width, 0, false);
    collectWings(collector, window, radius + seed / 13, radius, width, fluxWithin(growth, 1.35 * width));
  }
  return describeWings(collector)!;
}

describe('wings', () => {
  it('of Kolmogorov seeing hold what the profile says', () => {
    const image = makeStarImage(kolmogorov(3), 60, 6);
    const width = 1.05 * image.truth.fwhm;
    // Computed from the profile: 7.7 % more than within 1.35 widths.
    expect(Math.abs(wingsOf(image, width, 0.5).totalOverReference - 1.077)).toBeLessThan(0.006);
  });

  // Beyond radius r a Moffat leaves (1 + (r / alpha)^2)^(1 - beta) of its light (Moffat 1969), to infinity; the tolerance is a tenth of that light, which the slope leaves open.
  it.each([
    [2.5, 0.018],
    [3, 0.01],
    [4.7, 0.006],
  ])('of a Moffat of exponent %f hold what is beyond', (beta, tolerance) => {
    const alpha = 4 / (2 * Math.sqrt(2 ** (1 / beta) - 1));
    const profile = (x: number, y: number): number =>
      ((beta - 1) / (Math.PI * alpha ** 2)) * (1 + (x * x + y * y) / alpha ** 2) ** -beta;
    const beyond = (1 + (1.35 * 4 * 1.02) ** 2 / alpha ** 2) ** (1 - beta);
    const found = wingsOf(makeStarImage(profile, 60, 6), 4 * 1.02, 0.5).totalOverReference;
    expect(Math.abs(found - 1 / (1 - beyond))).toBeLessThan(tolerance);
  });

  it('of a Gaussian hold next to nothing', () => {
    const image = makeStarImage(gaussian(3), 20, 6);
    expect(wingsOf(image, image.truth.fwhm, 0.5).totalOverReference).toBeLessThan(1.012);
  });

  it('come with a larger error where there is more noise', () => {
    const image = makeStarImage(gaussian(3), 20, 6);
    expect(wingsOf(image, 3.08, 800).error).toBeGreaterThan(2 * wingsOf(image, 3.08, 100).error);
  });

  it('state an error that one very bright star among faint ones makes small', () => {
    const image = makeStarImage(twoGaussians(3), 30, 6);
    const stated = (bright: number): number => {
      const collector = makeWingCollector(1.35);
      for (let seed = 1; seed <= 9; seed += 1) {
        const flux = seed <= 5 ? bright : 2e4;
        const window = windowOf(image, { flux, noise: 20, seed, radius: 20 });
        const growth = measureGrowth(window, 20, 20, 1.35 * 3.2, 0, false);
        collectWings(collector, window, 20, 20, 3.2, fluxWithin(growth, 1.35 * 3.2));
      }
      return describeWings(collector)!.error;
    };
    // Weights level off, what the bright ones know does not: 25 times the light in five of nine.
    expect(stated(5e5)).toBeLessThan(0.25 * stated(2e4));
  });

  it('state an error also where a smallest aperture reaches beyond the rings that are summed', () => {
    const image = makeStarImage(gaussian(1.2), 12, 10);
    const collector = makeWingCollector(3.4);
    for (let seed = 1; seed <= 6; seed += 1) {
      const window = windowOf(image, { flux: 1e4, noise: 5, seed, radius: 12 });
      const growth = measureGrowth(window, 12, 12, 3.4 * 1.4, 0, false);
      collectWings(collector, window, 12, 12, 1.4, fluxWithin(growth, 3.4 * 1.4));
    }
    const { error, totalOverReference } = describeWings(collector)!;
    expect(error).toBeGreaterThan(0);
    expect(error).toBeLessThan(0.1);
    expect(Math.abs(totalOverReference - 1)).toBeLessThan(0.05);
  });

  it('are not told from two stars', () => {
    expect(describeWings(makeWingCollector(1.35))).toBeNull();
  });
});
