import { describe, expect, it } from 'vitest';
import { measureBackground } from '../../src/image/background-map.js';
import { windowCutter } from '../../src/stars/star-window.js';
import { planeOf } from '../scenes/plane.js';

describe('star window', () => {
  const plane = planeOf(80, 60, (x, y) => 100 + ((x * 5 + y * 3) % 7), { scale: 2, zero: 10 });
  const background = measureBackground(plane);
  const { window, cut } = windowCutter(plane, background, 6);

  it('holds ADU above the sky map about the star', () => {
    cut(31, 21, 5);
    expect([window.x0, window.y0, window.width, window.height]).toEqual([25, 15, 11, 11]);
    const k = 5 * window.width + 5;
    expect(window.values[k]).toBeCloseTo(2 * plane.data[20 * 80 + 30] + 10 - window.sky, 4);
    expect(window.isCut).toBe(false);
    expect(window.usable[k]).toBe(1);
  });

  it('is cut at the border', () => {
    cut(2, 59, 5);
    expect(window.isCut).toBe(true);
    expect(window.x0).toBe(0);
    expect(window.y0 + window.height).toBe(60);
  });

  it('takes more room for a star much wider than the usual', () => {
    cut(40, 30, 45);
    expect([window.width, window.height]).toEqual([80, 60]);
    const last = 80 * 60 - 1;
    expect(last).toBeGreaterThan(4096);
    for (const k of [0, 4095, 4096, last]) {
      expect(window.values[k]).toBeCloseTo(2 * plane.data[k] + 10 - window.sky, 4);
      expect(window.usable[k]).toBe(1);
    }
  });

  it('marks blanks and other colours as not usable', () => {
    const blank = planeOf(80, 60, (x) => (x === 30 ? NaN : 100 + (x % 3)), { asFloat: true });
    const blanked = windowCutter(blank, measureBackground(blank), 6);
    blanked.cut(31, 21, 5);
    expect(blanked.window.blanks).toBe(11);
    expect(blanked.window.usable[5]).toBe(0);
    const mosaic = { ...plane, mosaic: { cell: ['R', 'G', 'G', 'B'], source: 'test' } as const };
    const coloured = windowCutter(mosaic, background, 6);
    coloured.cut(31, 21, 5);
    expect(coloured.window.usable.slice(0, 121).reduce((a, b) => a + b, 0)).toBe(60);
  });
});
