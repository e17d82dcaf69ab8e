import { describe, expect, it } from 'vitest';
import { fitStars } from '../../src/stars/fit-stars.js';
import { learnWings } from '../../src/stars/learn-wings.js';
import { gaussian } from '../scenes/profiles.js';
import { makeStarImage } from '../scenes/star-image.js';
import { lookedAt } from '../scenes/looked-at.js';

describe('wings of the frame', () => {
  const { setting, looks } = lookedAt(makeStarImage(gaussian(3.5), 16, 8), { count: 60, snr: [60, 800] });
  const clean = [...looks.keys()].filter((k) => looks[k].flags === 0);
  const frame = fitStars(setting, looks, clean, clean, null);

  it('are small for Gaussian stars', () => {
    const wings = learnWings(setting, looks, clean, frame);
    expect(wings.totalOverReference).toBeLessThan(1.025);
    expect(wings.reachPx(looks[clean[0]].moments!)).toBeGreaterThan(4.4);
  });

  it('are those of seeing when no star can tell', () => {
    const wings = learnWings(setting, looks, [], frame);
    expect(wings.totalOverReference).toBeGreaterThan(1.06);
    expect(wings.skyLevel).toBeGreaterThan(0);
  });
});
