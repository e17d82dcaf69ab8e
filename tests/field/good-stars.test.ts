import { describe, expect, it } from 'vitest';
import { goodStars } from '../../src/field/good-stars.js';
import { madeStars } from './made-stars.js';

describe('goodStars', () => {
  it('leaves out flagged stars and those with a figure that is not finite', () => {
    const table = madeStars(6, 100, 100, () => ({ fwhm: 3 }), { flag: (i) => (i === 2 ? 1 : 0) });
    table.mxy[4] = NaN;
    table.fwhm[5] = 0;
    expect(goodStars(table)).toEqual([0, 1, 3]);
  });
});
