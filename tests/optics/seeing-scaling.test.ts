import { describe, expect, it } from 'vitest';
import { seeingAtZenith } from '../../src/optics/seeing-scaling.js';

describe('seeing scaling', () => {
  it('shrinks to the zenith as airmass^-0.6', () => {
    expect(seeingAtZenith(3, 1)).toBe(3);
    expect(seeingAtZenith(3, 2)).toBeCloseTo(3 / 2 ** 0.6, 12);
  });
});
