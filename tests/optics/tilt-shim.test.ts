import { describe, expect, it } from 'vitest';
import { screwTurns, shimMicron, tiltAngleArcmin } from '../../src/optics/tilt-shim.js';

describe('tilt angle and shim', () => {
  it('returns the span again on a flange as wide as the distance', () => {
    const angle = tiltAngleArcmin(40, 28.3);
    expect(shimMicron(angle, 28.3)).toBeCloseTo(40, 9);
    expect(shimMicron(angle, 56.6)).toBeCloseTo(80, 9);
  });

  it('keeps the sign of the span', () => {
    expect(tiltAngleArcmin(-40, 28.3)).toBe(-tiltAngleArcmin(40, 28.3));
  });

  it('refuses lengths that are not positive', () => {
    expect(() => tiltAngleArcmin(40, 0)).toThrow(RangeError);
    expect(() => shimMicron(1, -54)).toThrow(RangeError);
  });
});

describe('screws of a tilt plate', () => {
  it('raise the wanted side, lower the other and leave the middle where it was', () => {
    const screws = screwTurns(tiltAngleArcmin(100, 50), 90, 25, 0.5, [90, 210, 330]);
    expect(screws[0]?.liftMicron).toBeCloseTo(50, 9);
    expect(screws[0]?.turns).toBeCloseTo(0.1, 9);
    expect(screws[1]?.turns).toBeCloseTo(-0.05, 9);
    expect(screws.reduce((sum, screw) => sum + screw.liftMicron, 0)).toBeCloseTo(0, 9);
  });

  it('refuses a pitch of zero', () => {
    expect(() => screwTurns(1, 0, 25, 0, [0])).toThrow(RangeError);
  });
});
