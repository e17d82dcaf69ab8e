import { describe, expect, it } from 'vitest';
import { fieldPosition } from '../../src/field/field-position.js';

describe('fieldPosition', () => {
  it('puts the origin at the middle of the sensor and r = 1 at the corners', () => {
    expect(fieldPosition(1500.5, 1000.5, 3000, 2000)).toEqual({ u: 0, v: 0, r2: 0 });
    // The corner of the sensor is half a pixel beyond the centre of the last pixel.
    expect(fieldPosition(3000.5, 2000.5, 3000, 2000).r2).toBeCloseTo(1, 12);
    expect(fieldPosition(0.5, 2000.5, 3000, 2000).u).toBeLessThan(0);
  });
});
