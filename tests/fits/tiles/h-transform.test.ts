import { describe, expect, it } from 'vitest';
import { invertHTransform } from '../../../src/fits/tiles/h-transform.js';

// Whole images, odd sizes and lossy ones, are compared with cfitsio in tests/reference/fits.
describe('invertHTransform', () => {
  it('turns sum and differences of a 2 x 2 block into its pixels', () => {
    // White 1992: h0 = sum, hx = a11 + a10 - a01 - a00, hy = a11 + a01 - a10 - a00, hc = a11 + a00 - a10 - a01 (halved on the way up).
    const [a00, a01, a10, a11] = [1, 2, 3, 5] as const;
    const values = Float64Array.of(
      a00 + a01 + a10 + a11,
      a11 + a01 - a10 - a00,
      a11 + a10 - a01 - a00,
      a11 + a00 - a10 - a01,
    );
    const pixels = invertHTransform(values, 2, 2, 0);
    // The sum's low bits are not stored: they follow from the differences.
    expect([...pixels]).toEqual([a00, a01, a10, a11]);
  });

  it('spreads a sum alone evenly', () => {
    const values = new Float64Array(16);
    values[0] = 8 * 100 * 2 ** 1 * 2;
    expect(new Set(invertHTransform(values, 4, 4, 0)).size).toBe(1);
  });
});
