import { describe, expect, it } from 'vitest';
import { separationDeg } from '../../src/optics/separation.js';

describe('separationDeg', () => {
  // Meeus, Astronomical Algorithms (2nd ed.), example 17.a: Arcturus to Spica 32.7930 degrees (from memory).
  it('agrees with a worked example', () => {
    expect(separationDeg(213.9154, 19.1825, 201.2983, -11.1614)).toBeCloseTo(32.793, 3);
  });

  it('is exact at its ends', () => {
    expect(separationDeg(10, 20, 10, 20)).toBe(0);
    expect(separationDeg(0, 90, 123, -90)).toBeCloseTo(180, 6);
  });
});
