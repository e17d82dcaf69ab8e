import { describe, expect, it } from 'vitest';
import { localBackground } from '../../src/stars/local-background.js';
import { gaussian } from '../scenes/profiles.js';
import { makeStarImage } from '../scenes/star-image.js';
import { windowOf } from '../scenes/window.js';

const image = makeStarImage(gaussian(3), 14, 8);

describe('local sky', () => {
  it('is the level in the ring, without the star inside it or a neighbour in it', () => {
    const window = windowOf(image, { noise: 5, level: 12, seed: 4 });
    for (let k = -3; k <= 3; k += 1)
      for (let j = -3; j <= 3; j += 1) window.values[(16 + j) * 33 + 27 + k] += 400;
    const { level, error } = localBackground(window, 16, 16, 9, 14);
    expect(error).toBeGreaterThan(0.1);
    expect(Math.abs(level - 12)).toBeLessThan(5 * error);
  });

  it('reads coarse integers between their steps', () => {
    const window = windowOf(image, { flux: 0, noise: 0.6, level: 0.35, seed: 7 });
    for (let k = 0; k < 33 * 33; k += 1) window.values[k] = Math.round(window.values[k]);
    const { level, error } = localBackground(window, 16, 16, 6, 15, 1);
    expect(Math.abs(level - 0.35)).toBeLessThan(4 * error);
  });

  it('leaves the map standing where the ring has too few pixels', () => {
    const window = windowOf(image, { level: 9 });
    window.usable.fill(0);
    expect(localBackground(window, 16, 16, 9, 14)).toMatchObject({ level: 0 });
  });
});
