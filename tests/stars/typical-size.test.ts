import { describe, expect, it } from 'vitest';
import type { FirstLook } from '../../src/stars/first-look.js';
import { flagOddSizes, typicalSize } from '../../src/stars/typical-size.js';
import { StarFlag } from '../../src/stars/types.js';

const shape = { xx: 3.2, xy: 0, yy: 3.2 };

function look(x: number, y: number, mxx: number, myy = mxx): FirstLook {
  const moments = {
    x,
    y,
    mxx,
    mxy: 0,
    myy,
    mError: 0.05,
    flux: 1000,
    fluxError: 10,
    skewX: 0,
    skewY: 0,
    skewError: 0.1,
  };
  return { source: 0, moments, pedestal: 0, pedestalError: 0.1, sky: 0, peak: 100, noise: 1, flags: 0 };
}

describe('typical size', () => {
  // Stars grow across the frame: what is typical on the right would be a galaxy on the left.
  const field = Array.from({ length: 120 }, (_, k) => {
    const x = (k % 12) * 80 + 40;
    return look(x, Math.floor(k / 12) * 60 + 30, 2 + x / 400);
  });

  it('follows the field', () => {
    const typical = typicalSize(field, 960, 600, shape)!;
    expect(typical.at(100, 300)).toBeLessThan(typical.frame);
    expect(typical.at(900, 300)).toBeGreaterThan(typical.frame);
  });

  it('tells the too sharp and the too wide', () => {
    const odd = [look(480, 300, 0.8), look(480, 300, 9), look(480, 300, 5, 0.3), look(480, 300, 3.2)];
    flagOddSizes(odd, typicalSize(field, 960, 600, shape)!);
    expect(odd.map((o) => o.flags)).toEqual([StarFlag.TooSharp, StarFlag.Extended, StarFlag.TooSharp, 0]);
  });

  it('does not take the knots of a galaxy for the stars', () => {
    const stars = [0, 1, 2, 3, 4, 5].map((k) => look(150 * k + 60, 300, 3.2));
    const knots = Array.from({ length: 40 }, (_, k) => ({
      ...look(400 + k, 300 + k, 15),
      pedestal: 80,
      peak: 150,
    }));
    // A wide star on dark sky may be what the corner makes of a star.
    const corner = Array.from({ length: 12 }, (_, k) => {
      const wide = look(900, 500 + k, 9);
      return { ...wide, moments: { ...wide.moments!, flux: 2000 } };
    });
    const typical = typicalSize([...stars, ...knots, ...corner], 960, 600, shape)!;
    expect(typical.at(900, 500)).toBe(9);
    flagOddSizes([...stars, ...knots], typicalSize([...stars, ...knots], 960, 600, shape)!);
    expect(stars.every((star) => star.flags === 0)).toBe(true);
    expect(knots.every((knot) => knot.flags === StarFlag.Extended)).toBe(true);
  });

  it('is null when nothing has moments', () => {
    expect(typicalSize([{ ...look(1, 1, 2), moments: null }], 960, 600, shape)).toBeNull();
  });
});
