import { describe, expect, it } from 'vitest';
import { airmass } from '../../src/optics/airmass.js';

describe('airmass', () => {
  it('is one overhead, and ends below the horizon', () => {
    expect(airmass(90)).toBeCloseTo(1, 3);
    expect(airmass(-5)).toBeNaN();
    expect(airmass(NaN)).toBeNaN();
  });
});
