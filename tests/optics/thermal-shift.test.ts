import { describe, expect, it } from 'vitest';
import { thermalShiftMicron, TUBE_EXPANSION_PER_K } from '../../src/optics/thermal-shift.js';

describe('thermal shift of a tube', () => {
  it('is 9.2 micrometres per kelvin for 400 mm of aluminium', () => {
    expect(thermalShiftMicron(400, 1)).toBeCloseTo(9.2, 9);
  });

  it('follows the sign of the change and the material', () => {
    expect(thermalShiftMicron(400, -2, TUBE_EXPANSION_PER_K.steel)).toBeCloseTo(-9.6, 9);
  });
});
