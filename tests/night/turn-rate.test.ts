import { describe, expect, it } from 'vitest';
import { turnRate } from '../../src/night/turn-rate.js';
import { calmFrames } from '../causes/judge.js';
import { madeNight } from '../causes/made-night.js';

const frames = (make: Parameters<typeof calmFrames>[1], count = 8) =>
  madeNight({ frames: calmFrames(count, make) }).frames;

describe('turnRate', () => {
  const steps = frames((k) => ({ registration: { rotationDeg: 0.1 * k, dxPx: 3, dyPx: -2 } }));
  const hours = (k: number): number => Date.parse(steps[k].header.dateObs!) / 3.6e6;

  it('gives the turn in degrees an hour and the trail it draws', () => {
    const turn = turnRate(steps)!;
    expect(turn.degPerHour).toBeCloseTo(0.1 / (hours(1) - hours(0)), 3);
    const { widthPx, heightPx } = steps[0].image;
    const angle = (turn.degPerHour * steps[0].header.exposureSeconds!) / 3600;
    expect(turn.trailPx).toBeCloseTo((angle * Math.PI * Math.hypot(widthPx, heightPx)) / 360, 6);
    expect(turn.aligned).toBe(false);
  });

  it('takes a half turn for a meridian flip, and sees frames that were aligned', () => {
    const flipped = frames((k) => ({ registration: k < 4 ? {} : { rotationDeg: 180, flipped: true } }));
    expect(Math.abs(turnRate(flipped)!.degPerHour)).toBeLessThan(0.03);
    const aligned = frames(() => ({ registration: { dxPx: 0, dyPx: 0, rotationDeg: 0 } }));
    expect(turnRate(aligned)!.aligned).toBe(true);
  });

  it('is null for few frames or without registration', () => {
    expect(turnRate(steps.slice(0, 3))).toBeNull();
    expect(turnRate(frames(() => ({ registration: null })))).toBeNull();
  });
});
