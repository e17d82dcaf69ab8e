import { describe, expect, it } from 'vitest';
import { madeNight } from '../causes/made-night.js';
import { calmFrames } from '../causes/judge.js';
import { micronPerDiscPx } from '../../src/night/joint-fit-units.js';

const [frame] = madeNight({ frames: calmFrames(1) }).frames;

describe('micronPerDiscPx', () => {
  it('takes the focal ratio from the scale, the header, or focal length over aperture', () => {
    expect(micronPerDiscPx([frame])).toBeCloseTo(18.8, 6);
    const lens = {
      ...frame,
      scale: { ...frame.scale!, focalRatio: null },
      header: { ...frame.header, focalRatio: 4 },
    };
    expect(micronPerDiscPx([lens])).toBeCloseTo(15.04, 6);
    const worked = {
      ...lens,
      header: { ...lens.header, focalRatio: null, focalLengthMm: 600, apertureMm: 100 },
    };
    expect(micronPerDiscPx([worked])).toBeCloseTo(22.56, 6);
  });

  it('is null when either is unknown', () => {
    expect(micronPerDiscPx([{ ...frame, scale: null }])).toBeNull();
    expect(micronPerDiscPx([])).toBeNull();
  });
});
