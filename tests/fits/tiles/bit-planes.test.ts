import { describe, expect, it } from 'vitest';
import { magnitudeValues, makeMagnitudes, readBitPlanes } from '../../../src/fits/tiles/bit-planes.js';
import { BitReader } from '../../../src/fits/tiles/bit-reader.js';
import { TileError } from '../../../src/fits/tiles/tile-error.js';

/** Bits written as text, blanks for the eye. */
function bits(text: string): BitReader {
  const digits = text.replace(/\s/g, '');
  const bytes = Uint8Array.from({ length: Math.ceil(digits.length / 8) }, (_, i) =>
    parseInt(digits.slice(8 * i, 8 * i + 8).padEnd(8, '0'), 2),
  );
  return new BitReader(bytes, 0);
}

// Codes by hand after White 1992; whole images, odd sizes too, are compared with astropy and cfitsio in tests/reference/fits.
describe('readBitPlanes', () => {
  it('reads plain planes, the highest bit first', () => {
    const magnitudes = makeMagnitudes(4, 2);
    readBitPlanes(bits('0000 1000 0000 1011'), 2, magnitudes, { offset: 0, stride: 2, rows: 2, columns: 2 });
    expect([...magnitudeValues(magnitudes, 1)]).toEqual([3, 0, 1, 1]);
  });

  it('reads a quadtree: a set bit is followed by the pattern beneath it, from the last to the first', () => {
    const magnitudes = makeMagnitudes(16, 1);
    // Top pattern 9 (11100): the first and the last quarter hold something; last quarter 1 (000), first quarter 8 (011).
    readBitPlanes(bits('1111 11100 000 011'), 1, magnitudes, { offset: 0, stride: 4, rows: 4, columns: 4 });
    const values = [...magnitudeValues(magnitudes, 5)];
    expect(values.map((value, i) => (value === 5 ? i : -1)).filter((i) => i >= 0)).toEqual([0, 15]);
  });

  it('leaves out bits beyond an odd last row and column', () => {
    const magnitudes = makeMagnitudes(12, 1);
    readBitPlanes(bits('0000 1111 1111 1111 1111'), 1, magnitudes, {
      offset: 0,
      stride: 4,
      rows: 3,
      columns: 3,
    });
    expect([...magnitudeValues(magnitudes, 1)]).toEqual([1, 1, 1, 0, 1, 1, 1, 0, 1, 1, 1, 0]);
  });

  it('holds magnitudes of more than 30 bits', () => {
    const magnitudes = makeMagnitudes(1, 42);
    const plane = '0000 1000';
    readBitPlanes(bits(plane + '0000 0000'.repeat(40) + plane), 42, magnitudes, {
      offset: 0,
      stride: 1,
      rows: 1,
      columns: 1,
    });
    expect([...magnitudeValues(magnitudes, 1)]).toEqual([2 ** 41 + 1]);
  });

  it('reads the planes of an empty quadrant, and refuses unknown formats and early ends', () => {
    const none = { offset: 0, stride: 1, rows: 0, columns: 1 };
    expect(() => readBitPlanes(bits('0000 1111 000'), 2, makeMagnitudes(1, 2), none)).not.toThrow();
    expect(() => readBitPlanes(bits('0101'), 1, makeMagnitudes(1, 1), none)).toThrow(/unknown format/);
    const one = { offset: 0, stride: 1, rows: 1, columns: 1 };
    expect(() => readBitPlanes(bits('0000 1000'), 3, makeMagnitudes(1, 3), one)).toThrow(TileError);
  });
});
