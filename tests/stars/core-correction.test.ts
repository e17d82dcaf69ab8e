import { describe, expect, it } from 'vitest';
import { choosePixels } from '../../src/stars/chosen-pixels.js';
import { collectCore, makeCoreCollector } from '../../src/stars/core-collector.js';
import { coreCorrection } from '../../src/stars/core-correction.js';
import { fitMoffat, shapeFromMoments } from '../../src/stars/moffat-fit.js';
import { moffatAxes, moffatLog, pixelNodes } from '../../src/stars/moffat-profile.js';
import { annulus, convolved, driftPath, gaussian, kolmogorov, tracked } from '../scenes/profiles.js';
import { makeStarImage, type StarImage } from '../scenes/star-image.js';
import { windowOf } from '../scenes/window.js';

const nodes = pixelNodes(1);

function corrected(
  image: StarImage,
  gamma: number,
  split: boolean,
  widthPx = 4,
  light: { flux: number; noise: number; seed: number } = { flux: 1e6, noise: 5, seed: 0 },
): { fwhm: number; isHollow: boolean; error: number } {
  const collector = makeCoreCollector(split, widthPx);
  const widths: number[] = [];
  const size = (image.truth.hfd / 2.3548) ** 2;
  const radius = Math.ceil(1.5 * image.truth.fwhmMajor) + 6;
  for (let seed = 1; seed <= 12; seed += 1) {
    const dx = ((seed * 0.37) % 1) - 0.5;
    const window = windowOf(image, { ...light, seed: light.seed + seed, dx, radius });
    const pixels = choosePixels(window, radius + dx, radius, 1.15 * image.truth.fwhmMajor, 0);
    const shape = shapeFromMoments({ mxx: size, mxy: 0, myy: size }, nodes, gamma)!;
    const options = { noise: window.noise, pedestalError: 0, nodes, photonFactor: 0 };
    const fit = fitMoffat(pixels, { x: radius + dx, y: radius, shape }, options)!;
    const axes = moffatAxes(fit.shape);
    widths.push(Math.sqrt(axes.major * axes.minor));
    collectCore(collector, window, { ...fit, ...axes }, nodes, 0);
  }
  const correction = coreCorrection(collector, (u) => Math.exp(moffatLog(u * u, gamma)));
  const mean = widths.reduce((a, b) => a + b, 0) / widths.length;
  return {
    fwhm: mean * Math.sqrt(correction.major * correction.minor),
    isHollow: correction.isHollow,
    error: correction.error,
  };
}

describe('core correction', () => {
  // The fits' exponent is wrong on purpose: the correction makes up for it.
  it.each([
    ['seeing', makeStarImage(kolmogorov(4), 30, 8), 0.02, false],
    ['Gaussian', makeStarImage(gaussian(4), 18, 8), 0.25, false],
    ['blurred disc', makeStarImage(convolved(gaussian(2.5), annulus(6, 0.3), 3.2, 0.4), 14, 8), 0, false],
    ['trail', makeStarImage(tracked(gaussian(3), driftPath(6, 0)), 18, 8), 0, true],
  ])('turns fitted widths into those of the light: %s', (_name, image, gamma, split) => {
    expect(Math.abs(corrected(image, gamma, split).fwhm / image.truth.fwhm - 1)).toBeLessThan(0.006);
  });

  it('sees the hole of a defocused star', () => {
    const ring = makeStarImage(convolved(gaussian(2.5), annulus(16, 0.45), 8.2, 0.5), 14, 6);
    expect(corrected(ring, 0, false).isHollow).toBe(true);
    expect(corrected(makeStarImage(gaussian(4), 18, 8), 0, false).isHollow).toBe(false);
  });

  it('follows the rim of a wide ring', () => {
    const ring = makeStarImage(convolved(gaussian(3), annulus(30, 0.4), 15.5, 1), 24, 4);
    const { fwhm } = corrected(ring, -0.3, false, 30);
    // Terms of the seventh order, enough for a point, round the rim off and read 2 % low.
    expect(Math.abs(fwhm / ring.truth.fwhm - 1)).toBeLessThan(0.006);
  });

  it('states an error that covers what stars of little light leave open', () => {
    const image = makeStarImage(gaussian(4), 18, 8);
    const misses: number[] = [];
    let stated = 0;
    for (let seed = 1; seed <= 30; seed += 1) {
      const { fwhm, error } = corrected(image, 0, false, 4, { flux: 3e4, noise: 12, seed: 40 * seed });
      misses.push(fwhm / image.truth.fwhm - 1);
      stated += error / 30;
    }
    const rms = Math.sqrt(misses.reduce((sum, m) => sum + m * m, 0) / misses.length);
    // The widths of the fits themselves add 0.5 / sqrt(12) of a per cent; thirty draws know their scatter to 13 %.
    expect(stated).toBeGreaterThan(0.5 * rms);
    expect(stated).toBeLessThan(1.6 * rms);
    expect(corrected(image, 0, false).error).toBeLessThan(0.2 * stated);
  });

  it('is neutral without stars', () => {
    expect(coreCorrection(makeCoreCollector(false), () => 1)).toMatchObject({
      major: 1,
      minor: 1,
      isHollow: false,
    });
  });
});
