import { describe, expect, it } from 'vitest';
import { makeTileSampler } from '../../src/image/tile-sampler.js';
import { planeOf } from '../scenes/plane.js';

describe('tile sampler', () => {
  it('takes every pixel when told to', () => {
    const sampler = makeTileSampler(
      planeOf(8, 8, (x, y) => 10 * y + x),
      8,
      1,
      1,
      0,
    );
    expect(sampler.gather(2, 3, 5, 5)).toBe(6);
    expect([...sampler.buffer.slice(0, 6)]).toEqual([32, 33, 34, 42, 43, 44]);
  });

  it('sees the green sites only on a mosaic, in both row parities', () => {
    const mosaic = { cell: ['R', 'G', 'G', 'B'], source: 'test' } as const;
    const plane = planeOf(40, 40, (x, y) => ((x + y) % 2 === 1 ? 500 + (y % 2) : 9), { mosaic });
    const sampler = makeTileSampler(plane, 40, 3, 2, 0);
    const n = sampler.gather(0, 0, 40, 40);
    const seen = new Set(sampler.buffer.slice(0, n));
    expect(seen).toEqual(new Set([500, 501]));
  });

  it('subtracts a plane and leaves blanks out', () => {
    const plane = planeOf(6, 6, (x, y) => (x === 1 ? NaN : 3 + 2 * x + 5 * y), { asFloat: true });
    const sampler = makeTileSampler(plane, 6, 1, 1, 0);
    const n = sampler.gatherResiduals(0, 0, 6, 6, 3, 2, 5);
    expect(n).toBe(30);
    for (let k = 0; k < n; k += 1) expect(sampler.buffer[k]).toBeCloseTo(0, 4);
  });

  it('takes quiet pixels only where the pixels two away are no brighter than the reference', () => {
    const plane = planeOf(20, 20, (x, y) => (x >= 10 ? 130 : x === 4 && y === 4 ? 900 : 100));
    const sampler = makeTileSampler(plane, 20, 1, 1, 0);
    const n = sampler.gatherQuiet(0, 0, 20, 20, 100, 0, 0);
    // Rows and columns 2..17 can be judged; columns 8 and up see the bright half, eight pixels see the bright one, which itself is kept.
    expect(n).toBe(16 * 6 - 8);
    expect([...sampler.buffer.slice(0, n)].filter((v) => v !== 0)).toEqual([800]);
  });

  it('judges the surroundings by their good pixels', () => {
    const plane = planeOf(9, 9, (x) => (x % 2 === 0 ? NaN : 5), { asFloat: true });
    const sampler = makeTileSampler(plane, 9, 1, 1, 0);
    // Columns 3 and 5 of rows 2..6.
    expect(sampler.gatherQuiet(0, 0, 9, 9, 5, 0, 0)).toBe(10);
  });

  it('spreads rounded values over one step with the mean kept', () => {
    const sampler = makeTileSampler(
      planeOf(64, 64, () => 20),
      64,
      1,
      1,
      1,
    );
    const n = sampler.gather(0, 0, 64, 64);
    const values = sampler.buffer.slice(0, n);
    expect(Math.min(...values)).toBeGreaterThanOrEqual(19.5);
    expect(Math.max(...values)).toBeLessThanOrEqual(20.5);
    expect(values.reduce((s, v) => s + v, 0) / n).toBeCloseTo(20, 2);
  });

  it('knows the statistics of what it gathered', () => {
    const sampler = makeTileSampler(
      planeOf(5, 5, (x, y) => 5 * y + x),
      5,
      1,
      1,
      0,
    );
    const n = sampler.gather(0, 0, 5, 5);
    expect(sampler.middle(n)).toEqual({ mean: 12, sd: 1.4826 * 6 });
    // Too few to tell a core: the guess comes back, with the number inside the bounds.
    expect(sampler.core(n, { mean: 10, sd: 1 }, 1, 2)).toEqual({ mean: 10, sd: 1, used: 4 });
  });

  it('refuses an even row step', () => {
    expect(() =>
      makeTileSampler(
        planeOf(8, 8, () => 1),
        8,
        2,
        1,
        0,
      ),
    ).toThrow(RangeError);
  });
});
