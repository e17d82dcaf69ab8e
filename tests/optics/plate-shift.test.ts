import { describe, expect, it } from 'vitest';
import { plateShiftMm } from '../../src/optics/plate-shift.js';

describe('focus shift of a plane-parallel plate', () => {
  it('is zero for no glass', () => {
    expect(plateShiftMm(0, 1.5)).toBe(0);
    expect(plateShiftMm(2, 1)).toBe(0);
  });

  it('refuses a negative thickness and an index below air', () => {
    expect(() => plateShiftMm(-1, 1.5)).toThrow(RangeError);
    expect(() => plateShiftMm(2, 0.9)).toThrow(RangeError);
  });
});
