import { describe, expect, it } from 'vitest';
import { openFitsBytes } from '../../src/fits/open-fits.js';
import { physicalValues, readImage } from '../../src/fits/read-image.js';
import { fitsBytes } from './fits-bytes.js';

describe('readImage', () => {
  it('reads all axes as stored', () => {
    const file = openFitsBytes('a.fits', fitsBytes({ bitpix: 32, axes: [4, 3, 2], pixel: (i) => i - 5 }));
    const image = readImage(file, file.hdus[0]!);
    expect(image.axes).toEqual([4, 3, 2]);
    expect([...image.stored]).toEqual(Array.from({ length: 24 }, (_, i) => i - 5));
  });

  it('refuses tables and truncated images', () => {
    const table = openFitsBytes(
      't.fits',
      Buffer.concat([fitsBytes({ axes: [] }), fitsBytes({ bitpix: 8, axes: [8, 2], extension: 'BINTABLE' })]),
    );
    expect(() => readImage(table, table.hdus[1]!)).toThrow(/HDU 1 is no image/);
    const cut = openFitsBytes('c.fits', fitsBytes({}).slice(0, 4000));
    expect(() => readImage(cut, cut.hdus[0]!)).toThrow(/560 of 1200 pixels/);
  });
});

describe('physicalValues', () => {
  it('applies scaling and BLANK', () => {
    const scaling = { bscale: 0.5, bzero: 10, blank: -1 };
    expect([...physicalValues({ axes: [3], stored: Int16Array.of(2, -1, 4), scaling })]).toEqual([
      11,
      NaN,
      12,
    ]);
  });

  it('adds the offset of 64-bit integers before it rounds', () => {
    const scaling = { bscale: 1, bzero: 2 ** 63, blank: null };
    const stored = BigInt64Array.of(-(2n ** 63n), -(2n ** 63n) + 1n);
    expect([...physicalValues({ axes: [2], stored, scaling })]).toEqual([0, 1]);
  });
});
