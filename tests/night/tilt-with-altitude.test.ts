import { describe, expect, it } from 'vitest';
import { calmFrames, judge } from '../causes/judge.js';
import { madeNight } from '../causes/made-night.js';

/** A tilt that keeps to its size, or one that grows as the target sinks from 75 to 31 degrees. */
const sinking = (sags: boolean) => ({
  frames: calmFrames(12, (k) => ({
    tiltMicron: sags ? 60 + 8 * k : 100,
    tiltDeg: 80,
    focusMicron: -25 + 5 * k,
    header: { altitudeDeg: 75 - 4 * k },
  })),
});
const seen = (sags: boolean) => madeNight(sinking(sags)).optics[0].detail.tiltWithAltitude;

describe('tiltWithAltitude', () => {
  it('sees a tilt that changes with altitude, and one that does not', () => {
    const sagging = seen(true)!;
    // Halves of 60 to 100 and 108 to 148 um about a mean of 104: a change of 0.46; a fifth for noise and for focus taking part of it.
    expect(Math.abs(sagging.change - 0.46)).toBeLessThan(0.2);
    expect(sagging.significance).toBeGreaterThan(4);
    expect(sagging.highDeg - sagging.lowDeg).toBeGreaterThan(15);
    const fixed = seen(false)!;
    expect(fixed.change).toBeLessThan(0.2);
    expect(fixed.significance).toBeLessThan(4);
  });

  it('is null where all frames stand equally high', () => {
    const frames = calmFrames(12, (k) => ({ tiltMicron: 100, focusMicron: -25 + 5 * k }));
    expect(madeNight({ frames }).optics[0].detail.tiltWithAltitude).toBeNull();
  });

  it('reaches the advice', () => {
    expect(judge('sensor-tilt', sinking(true)).advice).toContain('sags with gravity');
    expect(judge('sensor-tilt', sinking(false)).advice).toContain('does not sag');
  });
});
