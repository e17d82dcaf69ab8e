import { describe, expect, it } from 'vitest';
import { backgroundAt } from '../../src/image/background-at.js';
import { measureBackground } from '../../src/image/background-map.js';
import { planeOf } from '../scenes/plane.js';
import { makeScene } from '../scenes/scene.js';
import { seeingImage, starField } from '../scenes/star-field.js';

const image = seeingImage(3);

describe('background map', () => {
  // The limits: level within 0.3 % or 0.5 ADU, noise within 3 %. Noise of a stored pixel: photons, read noise, rounding (step^2 / 12).
  it.each([
    ['dark sky', { sky: 60, offsetAdu: 100 }],
    ['bright sky', { sky: 20000 }],
    ['bright sky at low gain', { sky: 40000, electronsPerAdu: 2 }],
    ['8-bit camera, noise under one ADU', { sky: 100, electronsPerAdu: 25, offsetAdu: 6, fullScaleAdu: 255 }],
    [
      '12-bit camera, skewed photon noise',
      { sky: 40, electronsPerAdu: 4, offsetAdu: 60, fullScaleAdu: 4095 },
    ],
    ['float pixels', { sky: 800, asFloat: true }],
  ])('reads level and noise under stars: %s', (_, options) => {
    const { plane } = starField(image, { ...options, count: 250 });
    const map = measureBackground(plane);
    const gain = 'electronsPerAdu' in options ? options.electronsPerAdu : 1;
    const offset = 'offsetAdu' in options ? options.offsetAdu : 0;
    const level = options.sky / gain + offset;
    const noise = Math.sqrt((options.sky + 25) / gain ** 2 + ('asFloat' in options ? 0 : 1 / 12));
    expect(Math.abs(map.medianLevel - level)).toBeLessThan(Math.max(0.5, 0.0003 * level));
    // Chance of a median over some 150 tiles of 2000 pixels: 0.2 %.
    expect(Math.abs(map.medianNoise / noise - 1)).toBeLessThan(0.006);
  });

  it('reads both between the stars of a crowd', () => {
    const { plane } = starField(image, { sky: 300, count: 4000, snr: [3, 300] });
    const map = measureBackground(plane);
    // Light that no gap is free of: a tenth of the noise, where a clipped median would be off by half of it.
    expect(Math.abs(map.medianLevel - 300)).toBeLessThan(0.1 * Math.sqrt(325));
    expect(Math.abs(map.medianNoise / Math.sqrt(325) - 1)).toBeLessThan(0.03);
  });

  it('follows a gradient of 50 % and says how large it is and where it points', () => {
    const { plane } = starField(image, { sky: 500 });
    const tilted = makeScene({
      width: 900,
      height: 700,
      seed: 4,
      stars: [],
      image,
      sky: (x) => 1000 * (0.75 + (0.5 * x) / 900),
    });
    expect(measureBackground(plane).gradientPercent).toBeLessThan(2);
    const map = measureBackground(tilted);
    expect(Math.abs((map.gradientPercent ?? 0) - 50)).toBeLessThan(1.5);
    expect(Math.abs((((map.gradientDirectionDeg ?? 90) + 180) % 360) - 180)).toBeLessThan(2);
    for (const x of [30, 450, 870]) {
      expect(Math.abs(backgroundAt(map, x, 350) / (1000 * (0.75 + (0.5 * x) / 900)) - 1)).toBeLessThan(0.006);
    }
  });

  it('does not take a gradient for noise', () => {
    const steep = makeScene({
      width: 600,
      height: 600,
      seed: 2,
      stars: [],
      image,
      sky: (x, y) => 500 + 2 * x + y,
    });
    const map = measureBackground(steep);
    expect(Math.abs(map.medianNoise / Math.sqrt(500 + 900 + 25) - 1)).toBeLessThan(0.03);
  });

  it('reads the green sites of a mosaic', () => {
    const { plane } = starField(image, { sky: 900, mosaic: { cell: ['R', 'G', 'G', 'B'], source: 'test' } });
    const map = measureBackground(plane);
    expect(Math.abs(map.medianLevel - 900)).toBeLessThan(3);
    expect(Math.abs(map.medianNoise / Math.sqrt(925) - 1)).toBeLessThan(0.03);
  });

  it('turns stored into physical units', () => {
    const { plane } = starField(image, { sky: 400 });
    const map = measureBackground({ ...plane, scale: 2, zero: -100 });
    expect(Math.abs(map.medianLevel - 700)).toBeLessThan(4);
    expect(Math.abs(map.medianNoise / (2 * Math.sqrt(425)) - 1)).toBeLessThan(0.03);
  });

  it('is NaN for a plane of blanks, and without noise for a constant one', () => {
    expect(measureBackground(planeOf(100, 80, () => NaN, { asFloat: true })).medianLevel).toBeNaN();
    const flat = measureBackground(planeOf(100, 80, () => 42));
    expect(flat.gradientPercent === null || flat.gradientPercent < 1e-6).toBe(true);
  });

  it('ignores blank pixels among good ones', () => {
    const { plane } = starField(image, { sky: 500, asFloat: true, count: 20 });
    const data = Float32Array.from(plane.data, (v, k) => (k % 3 === 0 ? NaN : v));
    const map = measureBackground({ ...plane, data });
    expect(Math.abs(map.medianLevel - 500)).toBeLessThan(1.5);
  });
});
