import { describe, expect, it } from 'vitest';
import { spacingByHistory } from '../../../src/rig/verdict/spacing-by-history.js';

const ladder = {
  micronPerMm: 58,
  error: 3,
  measuredAt: '2026-03-04T20:00:00.000Z',
  source: 'ladder',
} as const;
const state = (corner: number, error = 2) => ({
  frames: 20,
  unit: 'micron' as const,
  signsKnown: true,
  curvature: { corner, error },
});

describe('spacing by what a millimetre does to this rig', () => {
  it('adds what brings the curvature to zero, with both errors carried through', () => {
    const advice = spacingByHistory([state(-29)], ladder)!;
    expect(advice.addMm).toBeCloseTo(0.5, 12);
    // Relative errors of a quotient add in quadrature: 2/29 and 3/58.
    expect(advice.errorMm).toBeCloseTo(0.5 * Math.hypot(2 / 29, 3 / 58), 12);
    expect(advice.sentence).toMatch(/measured by a ladder of spacings on 2026-03-04\): add 0\.50 ± 0\.04 mm/);
  });

  it('removes for the other sign, and takes the set-up with most frames', () => {
    const advice = spacingByHistory([{ ...state(-29), frames: 3 }, state(29)], {
      ...ladder,
      source: 'notes',
    })!;
    expect(advice.addMm).toBeCloseTo(-0.5, 12);
    expect(advice.sentence).toMatch(/spacer changes noted in its history\): remove 0\.50/);
  });

  it('says nothing without a sure curvature of known sign in micrometres, or about a hair’s breadth', () => {
    expect(spacingByHistory([], ladder)).toBeNull();
    expect(spacingByHistory([{ ...state(-29), signsKnown: false }], ladder)).toBeNull();
    expect(spacingByHistory([{ ...state(-29), unit: 'px-blur' }], ladder)).toBeNull();
    expect(spacingByHistory([{ ...state(-29), curvature: null }], ladder)).toBeNull();
    expect(spacingByHistory([state(-29, 15)], ladder)).toBeNull();
    expect(spacingByHistory([state(-2.5, 0.5)], ladder)).toBeNull();
    expect(spacingByHistory([state(-29)], { ...ladder, micronPerMm: 0 })).toBeNull();
  });
});
