import { describe, expect, it } from 'vitest';
import { measureBackground } from '../../src/image/background-map.js';
import { detectSources } from '../../src/image/detect-sources.js';
import { typicalShape } from '../../src/stars/typical-shape.js';
import { gaussian, stretched } from '../scenes/profiles.js';
import { makeStarImage } from '../scenes/star-image.js';
import { starField } from '../scenes/star-field.js';

const shapeOf = (options: Parameters<typeof starField>[1]) => {
  const { plane } = starField(makeStarImage(stretched(gaussian(3.5), 1.5, 0), 16, 8), {
    snr: [40, 800],
    ...options,
  });
  const background = measureBackground(plane);
  const { sources } = detectSources(plane, background);
  return { shape: typicalShape(plane, background, sources, null), sources };
};

describe('typical shape', () => {
  it('is that of the stars', () => {
    const { shape } = shapeOf({ count: 120 });
    const variance = (3.5 / 2.3548) ** 2;
    expect(Math.abs(shape.xx / (variance * 1.5 + 1 / 12) - 1)).toBeLessThan(0.03);
    expect(Math.abs(shape.yy / (variance / 1.5 + 1 / 12) - 1)).toBeLessThan(0.03);
    expect(Math.abs(shape.xy)).toBeLessThan(0.05);
  });

  it('is not that of pairs of hot pixels, brighter than the stars', () => {
    const { plane } = starField(makeStarImage(gaussian(6), 24, 6), {
      ...{ count: 60, snr: [15, 60] },
      hotFraction: 0.005,
    });
    const background = measureBackground(plane);
    const { sources } = detectSources(plane, background);
    const { xx, yy } = typicalShape(plane, background, sources, null);
    const variance = (6 / 2.3548) ** 2 + 1 / 12;
    // Moments of some 40 faint stars, hot pixels beside them.
    expect(Math.abs((xx + yy) / 2 / variance - 1)).toBeLessThan(0.1);
  });

  it('is round and of the search scale without stars', () => {
    const { shape, sources } = shapeOf({ stars: [] });
    expect(shape).toEqual({
      xx: (sources.scalePx / 2.3548) ** 2,
      xy: 0,
      yy: (sources.scalePx / 2.3548) ** 2,
    });
  });
});
