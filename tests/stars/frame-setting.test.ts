import { describe, expect, it } from 'vitest';
import { measureBackground } from '../../src/image/background-map.js';
import { frameSetting, skyRing } from '../../src/stars/frame-setting.js';
import { planeOf } from '../scenes/plane.js';

describe('frame setting', () => {
  it('puts the sky ring outside of the star', () => {
    for (const width of [1.5, 3, 6, 9, 12, 30]) {
      const { inner, outer } = skyRing(width);
      expect(inner).toBeGreaterThan(1.8 * width);
      expect(outer).toBeGreaterThan(inner + 2);
    }
  });

  it('takes the width from the shape', () => {
    const plane = planeOf(64, 64, (x, y) => 100 + ((x + 3 * y) % 5));
    const none = new Float64Array(0);
    const sources = { count: 0, x: none, y: none, flux: none, snr: none, scalePx: 3, hotPixels: 0 };
    const setting = frameSetting(plane, measureBackground(plane), sources, null, { xx: 4, xy: 0, yy: 1 });
    expect(setting.widthPx).toBeCloseTo(2.3548 * Math.sqrt(2), 6);
    expect(setting.quantum).toBe(1);
    expect(setting.isMosaic).toBe(false);
  });
});
