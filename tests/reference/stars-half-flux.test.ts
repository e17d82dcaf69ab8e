import { existsSync, readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { describe, expect, it } from 'vitest';
import { measureStars, summariseStars } from '../../src/stars/index.js';
import { chooseImage, openFits, readPlane } from '../../src/fits/index.js';
import { fluxWithin, measureGrowth, radiusOfFlux } from '../../src/stars/growth-curve.js';
import { windowCutter } from '../../src/stars/star-window.js';
import { measureBackground } from '../../src/image/index.js';
import { gaussian } from '../scenes/profiles.js';
import { starField } from '../scenes/star-field.js';
import { makeStarImage } from '../scenes/star-image.js';
import { windowOf } from '../scenes/window.js';

interface RealStar {
  /** FITS pixels. */
  readonly x: number;
  readonly y: number;
  /** SEP's sky at the star (ADU), radius of the circle that holds all its light (px), and the diameter that holds half of it (px). */
  readonly sky: number;
  readonly aperture: number;
  readonly sep: number;
}

/** Recorded by tests/reference/stars-half-flux.py: SEP on noise-free Gaussian stars, its total flux and place given; and on real frames. */
const { stars, frames } = JSON.parse(
  readFileSync(fileURLToPath(new URL('stars-half-flux.json', import.meta.url)), 'utf8'),
) as {
  stars: readonly { readonly fwhm: number; readonly sep: number }[];
  frames: Record<string, readonly RealStar[]>;
};

const sequence = fileURLToPath(new URL('../../../shared/reference/sequence/', import.meta.url));
const isThere = existsSync(sequence);
/** What spreading each pixel's light over it adds to a diameter, squared: 1/12 px^2 of variance in each axis. */
const PIXEL = (8 * Math.LN2) / 12;

/** Half-flux diameter of a Gaussian star with its pixel: its width, exact to second order in pixel over width. */
const exact = (fwhm: number): number => Math.sqrt(fwhm ** 2 + (8 * Math.LN2) / 12);

describe('half-flux diameter beside SEP (flux_radius, noise-free Gaussian stars)', () => {
  it.each(stars)('width $fwhm px: SEP counts the pixel twice, the curve of growth once', ({ fwhm, sep }) => {
    const image = makeStarImage(gaussian(fwhm), 4 * fwhm, 8);
    const radius = Math.ceil(4 * fwhm);
    const diameters = [0.1, -0.3, 0.45, 0.27, -0.12].map((dx) => {
      const window = windowOf(image, { flux: 1e6, noise: 0, dx, radius });
      return 2 * radiusOfFlux(measureGrowth(window, radius + dx, radius, 3 * fwhm, 0, false), 5e5);
    });
    const ours = diameters.sort((a, b) => a - b)[2];
    // Light spread evenly over each pixel: another 1/12 px^2 in each axis, which SEP's reading follows within 0.6 %.
    const twice = Math.sqrt(fwhm ** 2 + (2 * 8 * Math.LN2) / 12);
    expect(Math.abs(sep / twice - 1)).toBeLessThan(0.006);
    expect(Math.abs(ours / exact(fwhm) - 1)).toBeLessThan(fwhm < 3 ? 0.02 : 0.01);
    expect(Math.abs(ours / exact(fwhm) - 1)).toBeLessThan(Math.abs(sep / exact(fwhm) - 1));
    // The issue: both within 1 %; narrower than 5 px the pixel alone is more.
    if (fwhm >= 5) expect(Math.abs(ours / sep - 1)).toBeLessThan(0.01);
  });

  it.each([2.5, 3.1])('a frame of stars %d px wide reads the truth, not the wider figure', (fwhm) => {
    const image = makeStarImage(gaussian(fwhm), 5 * fwhm, 10);
    const { plane } = starField(image, { count: 200, snr: [60, 600] });
    const { hfd } = summariseStars(
      measureStars(plane, measureBackground(plane)).table,
      plane.width,
      plane.height,
    );
    // The issue: within 1 % for Gaussians.
    expect(Math.abs((hfd.value ?? NaN) / exact(fwhm) - 1)).toBeLessThan(0.01);
  });
});

const title = isThere ? '' : ' (skipped: ../shared/reference is not there)';
describe.skipIf(!isThere)(
  `half-flux diameters of real stars beside SEP, the same circle and sky${title}`,
  () => {
    it.each(Object.keys(frames))('%s', (name) => {
      const file = openFits(sequence + name);
      const plane = readPlane(file, chooseImage(file));
      const { window, cut } = windowCutter(plane, measureBackground(plane), 24);
      const ratios = frames[name].map(({ x, y, sky, aperture, sep }) => {
        cut(x, y, aperture + 1);
        const growth = measureGrowth(window, x - 1, y - 1, aperture, sky - window.sky, false);
        const ours = 2 * radiusOfFlux(growth, fluxWithin(growth, aperture) / 2);
        return { plain: ours / sep, once: ours / Math.sqrt(sep * sep - PIXEL) };
      });
      expect(ratios.length).toBe(30);
      const median = (values: number[]): number => values.sort((a, b) => a - b)[15];
      // The issue: within 1 %, where the pixel that SEP counts a second time is not more alone; without it the medians agree within 0.2 %.
      const second = PIXEL / (2 * median(frames[name].map(({ sep }) => sep)) ** 2);
      if (second < 0.01) expect(Math.abs(median(ratios.map((r) => r.plain)) - 1)).toBeLessThan(0.01);
      expect(Math.abs(median(ratios.map((r) => r.once)) - 1)).toBeLessThan(0.002);
      for (const { once } of ratios) expect(Math.abs(once - 1)).toBeLessThan(0.01);
    });
  },
);
