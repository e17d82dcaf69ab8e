import { describe, expect, it } from 'vitest';
import type { PixelPlane } from '../../src/fits/types.js';
import { blockMean } from '../../src/image/block-mean.js';

function plane(
  width: number,
  height: number,
  data: Uint16Array | Float32Array,
  more: Partial<PixelPlane> = {},
): PixelPlane {
  return { width, height, data, scale: 1, zero: 0, mosaic: null, blankCount: 0, saturation: null, ...more };
}

describe('blockMean', () => {
  it('averages whole blocks in physical units, top row last in the file', () => {
    const data = Uint16Array.from({ length: 6 * 4 }, (_, i) => i);
    const small = blockMean(plane(6, 4, data, { scale: 2, zero: 100 }), 3);
    expect([small.width, small.height]).toEqual([3, 2]);
    // Top row of the picture: file rows 2 and 3; first block holds 12, 13, 18, 19.
    expect([...small.channels[0]!]).toEqual([131, 135, 139, 107, 111, 115]);
  });

  it('agrees with the plain mean on every block of a large frame but for the rows left out', () => {
    const width = 1000;
    const data = Uint16Array.from({ length: width * 500 }, (_, i) => 300 + (i % width));
    const small = blockMean(plane(width, 500, data), 100);
    small.channels[0]!.slice(0, 100).forEach((value, column) =>
      expect(value).toBeCloseTo(300 + column * 10 + 4.5, 3),
    );
  });

  it.each([
    [47, 31, 9, null],
    [47, 31, 3, null],
    [46, 30, 5, { cell: ['G', 'B', 'R', 'G'], source: 'test' } as const],
    [3, 5, 1, { cell: ['R', 'G', 'G', 'B'], source: 'test' } as const],
  ])('is the plain mean of the rows read, %d x %d to %d wide, mosaic %o', (width, height, most, mosaic) => {
    const data = Float32Array.from({ length: width * height }, (_, i) =>
      i % 13 === 5 ? NaN : (i * 7919) % 1000,
    );
    const small = blockMean(plane(width, height, data, { mosaic, scale: 2, zero: 10 }), most);
    const cellRows = mosaic ? 2 : 1;
    const block = Math.ceil(Math.ceil(width / most) / cellRows) * cellRows;
    const thinning = block < 8 ? 1 : mosaic || block < 12 ? 2 : 3;
    (mosaic ? ['R', 'G', 'B'] : [null]).forEach((colour, c) => {
      for (let row = 0; row < small.height; row++) {
        for (let column = 0; column < small.width; column++) {
          let [sum, count] = [0, 0];
          for (let y = row * block; y < Math.min((row + 1) * block, height); y++) {
            if (Math.floor((y - row * block) / cellRows) % thinning > 0) continue;
            for (let x = column * block; x < Math.min((column + 1) * block, width); x++) {
              const isUsed = !mosaic || mosaic.cell[(y % 2) * 2 + (x % 2)] === colour;
              const value = data[y * width + x]!;
              if (!isUsed || Number.isNaN(value)) continue;
              sum += value;
              count++;
            }
          }
          const found = small.channels[c]![(small.height - 1 - row) * small.width + column]!;
          expect(found).toBeCloseTo((2 * sum) / count + 10, 3);
        }
      }
    });
  });

  it('keeps the size of a small frame', () => {
    const small = blockMean(plane(2, 1, Float32Array.of(5, 6)), 480);
    expect([small.width, small.height, ...small.channels[0]!]).toEqual([2, 1, 5, 6]);
  });

  it('does not count blank pixels, and leaves a block of blanks blank', () => {
    const data = Float32Array.of(1, NaN, NaN, NaN, 3, NaN, NaN, NaN);
    expect([...blockMean(plane(4, 2, data), 2).channels[0]!]).toEqual([2, NaN]);
  });

  it.each([Uint16Array, Float32Array])(
    'gives each colour of a mosaic the mean of its own sites (%o)',
    (Type) => {
      const row = [10, 20, 10, 20];
      const other = [40, 90, 40, 90];
      const data = Type.from([...row, ...other, ...row, ...other]) as Uint16Array | Float32Array;
      const mosaic = { cell: ['R', 'G', 'G', 'B'], source: 'test' } as const;
      const small = blockMean(plane(4, 4, data, { mosaic }), 2);
      expect(small.channels.map((channel) => [...new Set(channel)])).toEqual([[10], [30], [90]]);
    },
  );

  it('reads every pixel pair of a large mosaic in its own colour', () => {
    const width = 400;
    const data = new Uint16Array(width * 200);
    for (let i = 0; i < data.length; i++) {
      const x = i % width;
      const y = Math.floor(i / width);
      data[i] = y % 2 === 0 ? (x % 2 === 0 ? 100 : 200) : x % 2 === 0 ? 300 : 400;
    }
    const mosaic = { cell: ['B', 'G', 'G', 'R'], source: 'test' } as const;
    const small = blockMean(plane(width, 200, data, { mosaic }), 40);
    expect(small.channels.map((channel) => [...new Set(channel)])).toEqual([[400], [250], [100]]);
  });

  it('refuses an empty plane and half a mosaic cell', () => {
    expect(() => blockMean(plane(0, 0, new Uint16Array(0)), 480)).toThrow(RangeError);
    const mosaic = { cell: ['R', 'G', 'G', 'B'], source: 'test' } as const;
    expect(() => blockMean(plane(1, 4, new Uint16Array(4), { mosaic }), 480)).toThrow(RangeError);
  });
});
