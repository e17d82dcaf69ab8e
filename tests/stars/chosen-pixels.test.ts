import { describe, expect, it } from 'vitest';
import { choosePixels } from '../../src/stars/chosen-pixels.js';
import { gaussian } from '../scenes/profiles.js';
import { makeStarImage } from '../scenes/star-image.js';
import { windowOf } from '../scenes/window.js';

describe('chosen pixels', () => {
  const window = windowOf(makeStarImage(gaussian(3), 12, 6), { flux: 0, level: 50 });
  it('are the usable ones within the radius, less the local sky', () => {
    window.usable[16 * 33 + 16] = 0;
    const pixels = choosePixels(window, 16, 16, 1.5, 20);
    expect(pixels.count).toBe(8);
    for (let k = 0; k < pixels.count; k += 1) {
      expect(Math.hypot(pixels.x[k] - 16, pixels.y[k] - 16)).toBeLessThanOrEqual(1.5);
      expect(pixels.value[k]).toBe(30);
    }
  });
  it('find room for large radii', () => {
    expect(choosePixels(window, 16, 16, 15, 0).count).toBeGreaterThan(690);
  });
});
