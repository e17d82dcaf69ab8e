import { describe, expect, it } from 'vitest';
import { measureBackground } from '../../src/image/background-map.js';
import { coarseSignal } from '../../src/image/coarse-signal.js';
import { seeingImage, starField } from '../scenes/star-field.js';

describe('coarse signal', () => {
  it('is noise of unit spread where there is only sky', () => {
    const { plane } = starField(seeingImage(3), { stars: [] });
    const signal = coarseSignal(plane, measureBackground(plane), 4, 1);
    const n = signal.values.length;
    const mean = signal.values.reduce((s, v) => s + v, 0) / n;
    const sd = Math.sqrt(signal.values.reduce((s, v) => s + (v - mean) ** 2, 0) / n);
    expect(signal.columns).toBe(225);
    expect(Math.abs(mean)).toBeLessThan(0.1);
    expect(Math.abs(sd - 1)).toBeLessThan(0.05);
  });

  it('lets a hot pixel count no more than eight sigma', () => {
    const { plane } = starField(seeingImage(3), { stars: [] });
    const data = Uint16Array.from(plane.data);
    data[102 * 900 + 102] = 60000;
    const signal = coarseSignal({ ...plane, data }, measureBackground(plane), 4, 1);
    // 8 sigma of one pixel over 4 (16 pixels averaged) is 2, plus the noise of the others.
    expect(signal.values[25 * 225 + 25]).toBeLessThan(6);
  });
});
