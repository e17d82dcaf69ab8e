import { describe, expect, it } from 'vitest';
import { matchedFilter } from '../../src/image/matched-filter.js';

describe('matched filter', () => {
  it('is a Gaussian of the width asked for, with its sums', () => {
    const filter = matchedFilter(2.2);
    expect(filter).toHaveLength(27);
    expect(filter[12]).toBe(1);
    // At half the full width a Gaussian has half its height: exp(-4 ln 2 r^2 / fwhm^2) at r = 1.
    for (const k of [7, 11, 13, 17]) expect(filter[k]).toBeCloseTo(Math.exp((-4 * Math.LN2) / 2.2 ** 2), 4);
    const weights = filter.slice(0, 25);
    expect(filter[25]).toBeCloseTo(
      weights.reduce((s, w) => s + w, 0),
      5,
    );
    expect(filter[26]).toBeCloseTo(
      weights.reduce((s, w) => s + w * w, 0),
      5,
    );
  });
});
