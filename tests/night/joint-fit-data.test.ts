import { describe, expect, it } from 'vitest';
import { madeNight } from '../causes/made-night.js';
import { calmFrames } from '../causes/judge.js';
import { fitData } from '../../src/night/joint-fit-data.js';

const frames = madeNight({
  frames: calmFrames(4, (k) => (k === 2 ? { transparency: 0.5 } : k === 3 ? { trailArcsec: 3 } : {})),
  cells: [9, 7],
}).frames;

describe('fitData', () => {
  it('merges a fine grid, keeps the mean, and lowers the errors', () => {
    const [first] = fitData([frames[0]], [7]);
    expect(first.index).toBe(7);
    expect(first.cells).toHaveLength(25);
    const cells = frames[0].field.cells;
    const mean = cells.reduce((sum, c) => sum + (c.mxx + c.myy) / 2, 0) / cells.length;
    expect(Math.abs(first.meanIso / mean - 1)).toBeLessThan(0.02);
    const before = cells.reduce((sum, c) => sum + c.mError, 0) / cells.length;
    const after = first.cells.reduce((sum, c) => sum + c.isoError, 0) / first.cells.length;
    expect(after).toBeLessThan(before);
  });

  it('lets only calm, clear frames speak of focus by the shape of their stars', () => {
    expect(fitData(frames, [0, 1, 2, 3]).map((f) => f.widthRatio !== null)).toEqual([
      true,
      true,
      false,
      false,
    ]);
  });

  it('leaves out a frame with fewer than six cells', () => {
    const sparse = { ...frames[0], field: { ...frames[0].field, cells: frames[0].field.cells.slice(0, 5) } };
    expect(fitData([sparse], [0])).toEqual([]);
  });

  it('knows the sides of the pier', () => {
    const sides = [null, 'east', 'west'].map((pierSide) => ({
      ...frames[0],
      header: { ...frames[0].header, pierSide: pierSide as 'east' | null },
    }));
    expect(fitData(sides, [0, 1, 2]).map((f) => f.side)).toEqual([1, -1, -1]);
  });
});
