import { describe, expect, it } from 'vitest';
import { forEachRun, tileLayout } from '../../../src/fits/tiles/tile-layout.js';
import { headerOf } from '../header-sketch.js';

describe('tileLayout (FITS Standard 4.0, section 10.1)', () => {
  it('is one row a tile without ZTILEn', () => {
    const layout = tileLayout(headerOf(), [41, 30]);
    expect(layout.count).toBe(30);
    expect(layout.tile(2)).toEqual({ origin: [0, 2], size: [41, 1], pixels: 41 });
  });

  it('leaves smaller tiles at the edges', () => {
    const layout = tileLayout(headerOf('ZTILE1  = 10', 'ZTILE2  = 7'), [41, 30]);
    expect(layout.count).toBe(25);
    expect(layout.tile(4)).toEqual({ origin: [40, 0], size: [1, 7], pixels: 7 });
    expect(layout.tile(24)).toEqual({ origin: [40, 28], size: [1, 2], pixels: 2 });
  });

  it('covers every pixel once, in three dimensions too', () => {
    const axes = [9, 7, 5];
    const layout = tileLayout(headerOf('ZTILE1  = 4', 'ZTILE2  = 3', 'ZTILE3  = 2'), axes);
    const seen = new Uint8Array(9 * 7 * 5);
    for (let i = 0; i < layout.count; i++) {
      forEachRun(layout.tile(i), axes, (_, start, length) => {
        for (let j = 0; j < length; j++) seen[start + j] = seen[start + j]! + 1;
      });
    }
    expect(seen.every((n) => n === 1)).toBe(true);
  });

  it.each([
    [['ZTILE1  = 0'], [41, 30], /impossible ZTILE1/],
    [['ZTILE2  = 1.5'], [41, 30], /impossible ZTILE2/],
    [[], [0, 30], /impossible axes/],
    [[], [100000, 100000], /impossible axes/],
    [[], [], /impossible axes/],
  ])('refuses %j of %j', (cards, axes, message) => {
    expect(() => tileLayout(headerOf(...cards), axes)).toThrow(message);
  });
});
