import { describe, expect, it } from 'vitest';
import { madeNight } from '../causes/made-night.js';
import { calmFrames } from '../causes/judge.js';

describe('chooseModel, through fitNight', () => {
  it('needs nothing for a clean night', () => {
    const { detail } = madeNight({ frames: calmFrames(8) }).optics[0];
    expect(detail.tilt.significance).toBeLessThan(5);
    expect(detail.curvature.significance).toBeLessThan(5);
    expect(detail.rotation.cornerTrailPx).toBe(0);
    expect(detail.coma).toBeNull();
  });

  it('calls a field rotation by its name, with its centre', () => {
    const { rotation, curvature } = madeNight({
      frames: calmFrames(8, () => ({ turnArcmin: 8, turnCentre: [0.6, 0.4] })),
    }).optics[0].detail;
    expect(rotation.significance).toBeGreaterThan(10);
    expect(Math.hypot(rotation.centre[0] - 0.6, rotation.centre[1] - 0.4)).toBeLessThan(0.15);
    expect(curvature.significance).toBeLessThan(5);
  });

  it('does not take coma for tilt', () => {
    const { coma, tilt } = madeNight({
      frames: calmFrames(8, () => ({ comaPx: 1.1, comaCentre: [0.9, -0.4] })),
    }).optics[0].detail;
    expect(coma!.significance).toBeGreaterThan(10);
    expect(Math.hypot(coma!.centre![0] - 0.9, coma!.centre![1] + 0.4)).toBeLessThan(0.25);
    expect(tilt.significance).toBeLessThan(6);
  });

  it('tells a tilt that keeps to the sensor from one that turns over with the pier side', () => {
    const night = (turns: boolean) =>
      madeNight({
        frames: calmFrames(12, (k) => ({
          tiltMicron: 90,
          tiltDeg: turns && k >= 6 ? 280 : 100,
          focusMicron: -20 + 5 * k,
          header: { pierSide: k < 6 ? ('east' as const) : ('west' as const) },
        })),
      }).optics[0].detail.tiltFollows.what;
    expect(night(true)).toBe('gravity');
    expect(night(false)).toBe('sensor');
  });
});
