import { describe, expect, it } from 'vitest';
import { reducerDistanceMm } from '../../src/optics/reducer.js';

describe('distance of a reducer', () => {
  it('is a fifth of its focal length for a factor of 0.8, and negative lenses extend', () => {
    expect(reducerDistanceMm(0.8, 275)).toBeCloseTo(55, 12);
    expect(reducerDistanceMm(2, -100)).toBe(100);
  });

  it('refuses a lens without power', () => {
    expect(() => reducerDistanceMm(0.8, 0)).toThrow(RangeError);
    expect(() => reducerDistanceMm(0.8, NaN)).toThrow(RangeError);
  });
});
