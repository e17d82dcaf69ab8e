import { describe, expect, it } from 'vitest';
import { ditherTable, unquantise } from '../../../src/fits/tiles/dither.js';

describe('ditherTable', () => {
  it('ends with the seed that the standard gives as its check (FITS Standard 4.0, appendix I)', () => {
    const table = ditherTable();
    expect(table).toHaveLength(10000);
    expect(table[9999]).toBe(Math.fround(1043618065 / 2147483647));
  });
});

describe('unquantise', () => {
  const tileScaling = { scale: 2, zero: 10, blank: -2147483647 };
  const run = (
    method: Parameters<typeof unquantise>[3],
    integers: number[],
    tile = 1,
    seed = 1,
  ): number[] => {
    const out = new Float64Array(integers.length);
    unquantise(integers, out, tileScaling, method, tile, seed);
    return [...out];
  };

  it('scales, and masks blanks', () => {
    expect(run('plain', [0, 5, -2147483647])).toEqual([10, 20, NaN]);
  });

  it('takes the dither off, starting where the tile number says', () => {
    const table = ditherTable();
    const first = Math.floor(table[0]! * 500);
    expect(run('dither-1', [5, 6])).toEqual([
      (5 - table[first]! + 0.5) * 2 + 10,
      (6 - table[first + 1]! + 0.5) * 2 + 10,
    ]);
    expect(run('dither-1', [5], 2, 3)).toEqual(run('dither-1', [5], 4, 1));
  });

  it('keeps exact zeros in the second method only', () => {
    expect(run('dither-2', [-2147483646])).toEqual([0]);
    expect(run('dither-1', [-2147483646])[0]).toBeLessThan(-4e9);
  });

  it('starts over at the end of the table', () => {
    expect(
      run(
        'dither-1',
        Array.from({ length: 25000 }, () => 1),
      ).every(Number.isFinite),
    ).toBe(true);
    expect(run('dither-1', [1], 10001, 1)).toEqual(run('dither-1', [1], 1, 1));
  });
});
