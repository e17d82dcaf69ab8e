import { describe, expect, it } from 'vitest';
import { measureBackground } from '../../src/image/background-map.js';
import { SKY_RUN, skyLine } from '../../src/image/sky-line.js';
import { makeScene } from '../scenes/scene.js';
import { seeingImage } from '../scenes/star-field.js';

describe('sky along a row of blocks', () => {
  it('is the map in stored units', () => {
    const stored = makeScene({
      width: 600,
      height: 400,
      seed: 1,
      stars: [],
      image: seeingImage(3),
      sky: (x) => 500 + x,
    });
    const plane = { ...stored, scale: 2, zero: -50 };
    const level = new Float32Array(Math.ceil(300 / SKY_RUN));
    const noise = new Float32Array(Math.ceil(300 / SKY_RUN));
    skyLine(plane, measureBackground(plane), 2, 100, 300, level, noise);
    for (const c of [4, 150, 290]) {
      // Eight blocks of two pixels share a reading: the slope of 1 a pixel makes up to 8 of difference; noise under 35.
      const run = Math.floor(c / SKY_RUN);
      expect(Math.abs(level[run] - 500 - 2 * c)).toBeLessThan(12);
      expect(Math.abs(noise[run] / Math.sqrt(525 + 2 * c) - 1)).toBeLessThan(0.1);
    }
  });
});
