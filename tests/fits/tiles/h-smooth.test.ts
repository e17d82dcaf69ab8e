import { describe, expect, it } from 'vitest';
import { smoothCoefficients } from '../../../src/fits/tiles/h-smooth.js';

// Whole smoothed images are compared with cfitsio in tests/reference/fits.
describe('smoothCoefficients', () => {
  it('does nothing where the sums are even, or the step is below 2', () => {
    const flat = new Float64Array(64).fill(7);
    for (let i = 0; i < 64; i++) if (i % 2 === 1 || Math.floor(i / 8) % 2 === 1) flat[i] = 0;
    const before = Float64Array.from(flat);
    smoothCoefficients(flat, 8, 8, 8, 40);
    expect(flat).toEqual(before);
  });

  it('brings a difference towards the slope of its neighbours, by half the step at most', () => {
    const ramp = new Float64Array(64);
    for (let i = 0; i < 8; i += 2) for (let j = 0; j < 8; j += 2) ramp[i * 8 + j] = 1000 * j;
    const limited = Float64Array.from(ramp);
    smoothCoefficients(limited, 8, 8, 8, 40);
    expect(limited[2 * 8 + 2 + 1]).toBe(20);
    // Sums rise by 2000 a block: the difference that fits is (2000 + 2000) / 8.
    smoothCoefficients(ramp, 8, 8, 8, 4000);
    expect(ramp[2 * 8 + 2 + 1]).toBe(500);
  });
});
