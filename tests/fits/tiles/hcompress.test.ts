import { describe, expect, it } from 'vitest';
import { decodeHcompress } from '../../../src/fits/tiles/hcompress.js';
import { TileError } from '../../../src/fits/tiles/tile-error.js';

/** A stream by hand: mark, sizes, scale, sum, bit planes of the quadrants, codes. */
function stream(
  rows: number,
  columns: number,
  sum: bigint,
  planes: readonly number[],
  codes: readonly number[],
): Uint8Array {
  const view = new DataView(new ArrayBuffer(25 + codes.length));
  view.setUint16(0, 0xdd99);
  view.setInt32(2, rows);
  view.setInt32(6, columns);
  view.setInt32(10, 0);
  view.setBigInt64(14, sum);
  planes.forEach((n, i) => view.setUint8(22 + i, n));
  codes.forEach((n, i) => view.setUint8(25 + i, n));
  return new Uint8Array(view.buffer);
}

// Whole images are compared with astropy and cfitsio in tests/reference/fits.
describe('decodeHcompress', () => {
  it('an even picture is its sum and the end mark', () => {
    const values = decodeHcompress(stream(2, 2, 400n, [0, 0, 0], [0]), 4, false);
    expect([...values]).toEqual([100, 100, 100, 100]);
  });

  it.each([
    ['another mark', (b: Uint8Array) => void (b[0] = 0), /mark of HCOMPRESS/],
    ['another size', (b: Uint8Array) => void (b[5] = 9), /2 x 9 pixels where 4 belong/],
    ['no end mark', (b: Uint8Array) => void (b[25] = 0x50), /end mark/],
    ['too many bit planes', (b: Uint8Array) => void (b[22] = 200), /bit planes/],
    ['an unknown plane', (b: Uint8Array) => { b[22] = 1; b[25] = 0x50; }, /unknown format/],
  ])('refuses %s', (_, change, message) => {
    const bytes = stream(2, 2, 400n, [0, 0, 0], [0]);
    change(bytes);
    expect(() => decodeHcompress(bytes, 4, false)).toThrow(message);
  }); // prettier-ignore

  it('refuses a stream cut short', () => {
    expect(() => decodeHcompress(stream(2, 2, 4n, [9, 0, 0], [0xf0]), 4, false)).toThrow(TileError);
    expect(() => decodeHcompress(new Uint8Array(10), 4, false)).toThrow(/too short/);
  });
});
