import { describe, expect, it } from 'vitest';
import { calmFrames } from './judge.js';
import { madeNight } from './made-night.js';
import { frameTrail, pixelEllipticity, plainAxisDeg } from '../../src/causes/frame-trail.js';

const night = (count: number) =>
  madeNight({ frames: calmFrames(count, () => ({ trailArcsec: 1.5, trailDeg: 93 })) });

describe('frameTrail', () => {
  it('believes the stars rather than the fit of a few frames, which shares a trail with the optics', () => {
    const { frames, optics } = night(2);
    const wrong = { ...optics[0].detail.frames[0], trailPlus: 0, trailCross: 0.5 };
    expect(frames[0].trail.coherence!).toBeGreaterThan(0.7);
    const trail = frameTrail(frames[0], wrong, optics[0])!;
    expect(trail.angleDeg).toBe(frames[0].trail.angleDeg);
    expect(Math.abs(trail.angleDeg - 93)).toBeLessThan(2);
  });

  it('takes the smaller of the two where the axes differ over the field', () => {
    const { frames, optics } = night(1);
    const radial = { ...frames[0], trail: { ...frames[0].trail, coherence: 0.3 } };
    const round = { ...optics[0].detail.frames[0], trailPlus: 0, trailCross: 0 };
    expect(frameTrail(radial, round, optics[0])!.strength).toBe(0);
    // The mean of a pattern over an oblong sensor is no trail: the error says so.
    const trail = frameTrail(radial, null, null)!;
    expect(trail.strength / trail.error).toBeLessThan(4);
  });

  it('goes by the joint fit of a night', () => {
    const { frames, optics } = night(6);
    const fitted = { ...optics[0].detail.frames[0], trailPlus: 0.1, trailCross: 0 };
    expect(frameTrail(frames[0], fitted, optics[0])!.angleDeg).toBe(0);
  });

  it('is null where nothing was measured', () => {
    const [frame] = night(1).frames;
    const bare = { ...frame, trail: { ...frame.trail, angleDeg: null } };
    expect(frameTrail(bare, null, null)).toBeNull();
  });
});

describe('pixelEllipticity', () => {
  it('grows as stars get narrow, along rows and columns only', () => {
    expect(pixelEllipticity(1.3, 90)).toBeGreaterThan(0.02);
    expect(pixelEllipticity(1.3, 0)).toBeCloseTo(pixelEllipticity(1.3, 90), 12);
    expect(pixelEllipticity(1.3, 45)).toBeLessThan(1e-9);
    expect(pixelEllipticity(4, 0)).toBeLessThan(0.003);
  });
});

describe('plainAxisDeg', () => {
  it('is the axis of the stars where they share one, and the field does not turn', () => {
    const { frames, optics } = night(6);
    expect(plainAxisDeg(frames[0], optics[0])).toBe(frames[0].trail.angleDeg);
    const { detail } = optics[0];
    const turning = {
      ...optics[0],
      detail: { ...detail, rotation: { ...detail.rotation, significance: 20 } },
    };
    expect(plainAxisDeg(frames[0], turning)).toBeNull();
    const mixed = { ...frames[0], trail: { ...frames[0].trail, coherence: 0.4 } };
    expect(plainAxisDeg(mixed, optics[0])).toBeNull();
  });
});
