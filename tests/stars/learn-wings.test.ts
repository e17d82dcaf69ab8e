import { describe, expect, it } from 'vitest';
import { fitStars } from '../../src/stars/fit-stars.js';
import { learnWings } from '../../src/stars/learn-wings.js';
import { gaussian, kolmogorov, twoGaussians } from '../scenes/profiles.js';
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
    expect(wings.totalError).toBeGreaterThan(0.02);
  });

  it.each([
    ['seeing', kolmogorov(3.5)],
    ['core and halo', twoGaussians(3.5)],
  ])('come with an error that the scatter from frame to frame confirms: %s', (_name, profile) => {
    const image = makeStarImage(profile, 60, 6);
    const { values, size, oversampling } = image;
    const lightWithin = (radius: number): number => {
      let sum = 0;
      values.forEach((v, k) => {
        const away = Math.hypot((k % size) - (size - 1) / 2, Math.floor(k / size) - (size - 1) / 2);
        if (away <= radius * oversampling) sum += v / oversampling ** 2;
      });
      return sum;
    };
    let squares = 0;
    for (let seed = 1; seed <= 12; seed += 1) {
      const found = lookedAt(image, { count: 30, snr: [40, 300], seed });
      const stars = [...found.looks.keys()].filter((k) => found.looks[k].flags === 0);
      const fits = fitStars(found.setting, found.looks, stars, stars, null);
      const wings = learnWings(found.setting, found.looks, stars, fits);
      const reach = wings.reachPx(found.looks[stars[0]].moments!);
      squares += ((wings.totalOverReference * lightWithin(reach) - 1) / wings.totalError) ** 2 / 12;
    }
    // Twelve frames know a scatter to 20 %.
    expect(Math.sqrt(squares)).toBeGreaterThan(0.6);
    expect(Math.sqrt(squares)).toBeLessThan(1.4);
  });
});
