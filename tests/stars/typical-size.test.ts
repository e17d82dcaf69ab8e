import { describe, expect, it } from 'vitest';
import type { FirstLook } from '../../src/stars/first-look.js';
import { flagOddSizes, typicalSize } from '../../src/stars/typical-size.js';
import { StarFlag } from '../../src/stars/types.js';

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
    const typical = typicalSize(field, 960, 600)!;
    expect(typical.at(100, 300)).toBeLessThan(typical.frame);
    expect(typical.at(900, 300)).toBeGreaterThan(typical.frame);
  });

  it('tells the too sharp and the too wide', () => {
    const odd = [look(480, 300, 0.8), look(480, 300, 9), look(480, 300, 5, 0.3), look(480, 300, 3.2)];
    flagOddSizes(odd, typicalSize(field, 960, 600)!);
    expect(odd.map((o) => o.flags)).toEqual([StarFlag.TooSharp, StarFlag.Extended, StarFlag.TooSharp, 0]);
  });

  it('is null when nothing has moments', () => {
    expect(typicalSize([{ ...look(1, 1, 2), moments: null }], 960, 600)).toBeNull();
  });
});
