import { describe, expect, it } from 'vitest';
import { scatterDeg } from '../../src/causes/axis-scatter.js';

describe('scatterDeg', () => {
  it('is the circular standard deviation of axes: two at +-a have double-angle length cos 2a', () => {
    expect(scatterDeg(1)).toBe(0);
    const a = 5;
    expect(Math.abs(scatterDeg(Math.cos((2 * a * Math.PI) / 180)) - a)).toBeLessThan(0.05);
  });

  it('does not exceed that of axes spread evenly', () => {
    expect(scatterDeg(0)).toBeCloseTo(180 / Math.sqrt(12), 9);
  });
});
