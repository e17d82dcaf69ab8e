import { describe, expect, it } from 'vitest';
import { measureBackground } from '../../src/image/background-map.js';
import { measureStars } from '../../src/stars/measure-stars.js';
import { summariseStars } from '../../src/stars/summarise-stars.js';
import { StarFlag } from '../../src/stars/types.js';
import { planeOf } from '../scenes/plane.js';
import {
  annulus,
  convolved,
  driftPath,
  gaussian,
  kolmogorov,
  stretched,
  tracked,
  twoGaussians,
} from '../scenes/profiles.js';
import { makeStarImage, type StarImage } from '../scenes/star-image.js';
import { seeingImage, starField, type StarFieldOptions } from '../scenes/star-field.js';

function figuresOf(image: StarImage, options: StarFieldOptions = {}) {
  const { plane } = starField(image, { count: 160, ...options });
  const measured = measureStars(plane, measureBackground(plane));
  const summary = summariseStars(measured.table, plane.width, plane.height);
  return { ...measured, ...summary };
}
const mosaic = { cell: ['R', 'G', 'G', 'B'], source: 'test' } as const;

describe('measuring stars that the fit does not assume', () => {
  // Limits: the (FWHM 1 % from 1.6 to 8 px and 2 % from 1.2; half-flux diameter 1 %, rings 3 %) plus three standard errors of this small field.
  it.each<readonly [string, StarImage, StarFieldOptions, fwhm: number, hfd: number]>([
    ['seeing 1.2 px', makeStarImage(kolmogorov(0.8), 12, 20), {}, 0.02, 0.02],
    ['seeing 1.6 px', makeStarImage(kolmogorov(1.4), 14, 20), {}, 0.012, 0.015],
    ['seeing 3 px', seeingImage(3), {}, 0.01, 0.012],
    ['seeing 8 px', seeingImage(8), { count: 90 }, 0.01, 0.015],
    ['two Gaussians', makeStarImage(twoGaussians(3), 20, 10), {}, 0.01, 0.012],
    [
      'blurred disc',
      makeStarImage(convolved(gaussian(2), annulus(6, 0.3), 3.2, 0.4), 12, 8),
      {},
      0.01,
      0.012,
    ],
    ['colour mosaic', seeingImage(3), { mosaic, snr: [40, 1500] }, 0.012, 0.015],
    [
      'narrow stars on a colour mosaic',
      makeStarImage(gaussian(1.5), 8, 20),
      { mosaic, snr: [40, 1500] },
      0.015,
      0.02,
    ],
    ['8-bit camera', seeingImage(3), { electronsPerAdu: 25, fullScaleAdu: 255, offsetAdu: 5 }, 0.012, 0.015],
    ['hot pixels, 0.5 %', seeingImage(3), { hotFraction: 0.005 }, 0.012, 0.015],
    ['sky of 40000 ADU', seeingImage(3), { sky: 20000, electronsPerAdu: 0.5 }, 0.015, 0.02],
  ])('%s: width and half-flux diameter', (_name, image, options, fwhm, hfd) => {
    const figures = figuresOf(image, options);
    expect(Math.abs(figures.fwhm.value! / image.truth.fwhm - 1)).toBeLessThan(fwhm);
    expect(Math.abs(figures.hfd.value! / image.truth.hfd - 1)).toBeLessThan(hfd);
    expect(figures.elongation.value!).toBeLessThan(1.015);
  });

  it('of a defocused ring of 30 px stay meaningful', () => {
    const ring = makeStarImage(convolved(gaussian(3), annulus(30, 0.4), 15.5, 1), 24, 4);
    const figures = figuresOf(ring, { count: 40, snr: [60, 600] });
    expect(Math.abs(figures.hfd.value! / ring.truth.hfd - 1)).toBeLessThan(0.03);
    expect(Math.abs(figures.fwhm.value! / ring.truth.fwhm - 1)).toBeLessThan(0.04);
  });

  it('finds axis and axis ratio of drawn-out and of trailed stars', () => {
    for (const [ratio, angle] of [
      [1.2, 30],
      [1.8, 110],
      [3, 75],
    ]) {
      const image = makeStarImage(stretched(kolmogorov(3), ratio, angle), 26, 8);
      const { elongation, trail } = figuresOf(image);
      // Pixel included the truth is a little rounder than the optics.
      expect(Math.abs(elongation.value! / image.truth.elongation - 1)).toBeLessThan(0.01);
      expect(Math.abs(trail.angleDeg! - angle)).toBeLessThan(1);
      expect(trail.coherence!).toBeGreaterThan(0.95);
    }
    const trailed = makeStarImage(tracked(kolmogorov(3), driftPath(5, 150)), 26, 8);
    const { trail, fwhm } = figuresOf(trailed);
    expect(Math.abs(trail.angleDeg! - 150)).toBeLessThan(1);
    expect(Math.abs(fwhm.value! / trailed.truth.fwhm - 1)).toBeLessThan(0.01);
  });

  it('gives the same width for faint and bright stars', () => {
    const image = seeingImage(3);
    const faint = figuresOf(image, { snr: [60, 100], count: 250 });
    const bright = figuresOf(image, { snr: [300, 1500], count: 250, seed: 2 });
    // The issue: under 0.5 %; the faint sample knows its median to 0.2 %, and what it learns about the profile to as much.
    expect(Math.abs(faint.fwhm.value! / bright.fwhm.value! - 1)).toBeLessThan(0.009);
  });
});

describe('measuring what is not a sound star', () => {
  it('flags clipped stars, hot pixels and cosmic rays, and keeps them out of the figures', () => {
    const image = seeingImage(3);
    const figures = figuresOf(image, { snr: [20, 40000], cosmicRays: 80, hotFraction: 0.001 });
    expect(figures.counts.saturated).toBeGreaterThan(0);
    expect(figures.counts.hotPixels).toBeGreaterThan(200);
    expect(figures.counts.cosmicRays).toBeGreaterThan(10);
    expect(Math.abs(figures.fwhm.value! / image.truth.fwhm - 1)).toBeLessThan(0.012);
    for (let k = 0; k < figures.table.count; k += 1) {
      if (figures.table.flags[k] === 0)
        expect(figures.table.peak[k] + figures.table.background[k]).toBeLessThan(65535);
    }
  });

  it('lists hardly anything that is no star among hot pixels and hits', () => {
    const { plane, stars } = starField(seeingImage(2.5), {
      hotFraction: 0.005,
      cosmicRays: 100,
      snr: [15, 600],
      seed: 5,
    });
    const { table } = measureStars(plane, measureBackground(plane));
    const isStar = (x: number, y: number): boolean =>
      stars.some((star) => Math.hypot(star.x - x, star.y - y) < 3);
    const strangers = [...table.x.keys()].filter((k) => !isStar(table.x[k], table.y[k]));
    // The issue: at most 1 % false stars.
    expect(strangers.length / table.count).toBeLessThan(0.01);
    expect(table.count).toBeGreaterThan(0.9 * stars.length);
  });

  it('does not believe the gain of the camera in a frame that was scaled to 0..1', () => {
    const { plane } = starField(seeingImage(3), { count: 80 });
    const value = (x: number, y: number): number => plane.data[y * plane.width + x] / 65535;
    const scaled = planeOf(plane.width, plane.height, value, { asFloat: true, saturation: 1 });
    const background = measureBackground(scaled);
    const plain = measureStars(scaled, background);
    const gained = measureStars(scaled, background, { electronsPerAdu: 1 });
    const fwhm = ({ table }: typeof plain) => summariseStars(table, plane.width, plane.height).fwhm.value;
    expect(fwhm(gained)).not.toBeNull();
    expect(fwhm(gained)).toBe(fwhm(plain));
  });

  it('says too few stars to tell on a dark frame, and gives an empty table for no star', () => {
    const dark = figuresOf(seeingImage(3), { stars: [], cosmicRays: 30 });
    expect(dark.fwhm.value).toBeNull();
    expect(dark.unmeasured.fwhm).toContain('too few stars');
    const blank = planeOf(100, 80, () => NaN, { asFloat: true });
    expect(measureStars(blank, measureBackground(blank)).table.count).toBe(0);
  });

  it('measures around blanks and marks stars that touch them', () => {
    const { plane, stars } = starField(seeingImage(3), { asFloat: true, count: 60, snr: [60, 600] });
    const data = Float32Array.from(plane.data);
    const x = Math.round(stars[0].x) - 1;
    const y = Math.round(stars[0].y) - 1;
    data[y * plane.width + x + 1] = NaN;
    const { table } = measureStars({ ...plane, data }, measureBackground({ ...plane, data }));
    const touched = [...table.x.keys()].find(
      (k) => Math.hypot(table.x[k] - stars[0].x, table.y[k] - stars[0].y) < 3,
    );
    expect(touched === undefined || (table.flags[touched] & StarFlag.BadPixels) !== 0).toBe(true);
  });

  it('bounds and balances the stars it measures unless told to be thorough', () => {
    const { plane } = starField(seeingImage(2), { count: 500, snr: [15, 300] });
    const background = measureBackground(plane);
    const some = measureStars(plane, background, { maxFitted: 60 });
    expect(some.table.count).toBe(150);
    expect(some.counts.detected).toBeGreaterThan(400);
    const { table, counts } = measureStars(plane, background, { maxFitted: 60, thorough: true });
    // What is sharper than a star is counted, not tabled.
    expect(table.count + counts.cosmicRays).toBe(some.counts.detected);
    expect(counts.cosmicRays).toBeLessThan(5);
  });

  it('takes neither the pieces of a streak nor what it crosses for stars', () => {
    const { plane } = starField(seeingImage(3), { count: 120, snr: [30, 800] });
    const alone = measureStars(plane, measureBackground(plane));
    const data = plane.data.slice();
    // A line 2.5 px wide across the field, its brightness varying along it as a tumbling body's does.
    const distance = (x: number, y: number): number => (0.4 * x - y + 120) / Math.hypot(0.4, 1);
    for (let y = 0; y < plane.height; y += 1)
      for (let x = 0; x < plane.width; x += 1)
        data[y * plane.width + x] +=
          (250 + 150 * Math.sin(x / 9)) * Math.exp(-(distance(x, y) ** 2) / (2 * 1.1 ** 2));
    const crossed = { ...plane, data };
    const { table, streaks } = measureStars(crossed, measureBackground(crossed));
    expect(streaks).toHaveLength(1);
    expect([...table.x.keys()].filter((k) => Math.abs(distance(table.x[k], table.y[k])) < 5)).toEqual([]);
    // Under a band of 13 px stand a fiftieth of the field's stars.
    expect(table.count).toBeGreaterThan(0.9 * alone.table.count);
    expect(table.count).toBeLessThanOrEqual(alone.table.count + 2);
  });
});
