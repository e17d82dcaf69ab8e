import { describe, expect, it } from 'vitest';
import { criticalFocusZoneMicron } from '../../src/optics/focus-zone.js';

describe('critical focus zone', () => {
  it('grows with the square of the focal ratio', () => {
    expect(criticalFocusZoneMicron(0.55, 10) / criticalFocusZoneMicron(0.55, 5)).toBeCloseTo(4, 12);
  });

  it('refuses a focal ratio or wavelength that is not positive', () => {
    expect(() => criticalFocusZoneMicron(0.55, 0)).toThrow(RangeError);
    expect(() => criticalFocusZoneMicron(NaN, 5)).toThrow(RangeError);
  });
});
