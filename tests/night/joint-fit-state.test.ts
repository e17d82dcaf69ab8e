import { describe, expect, it } from 'vitest';
import { madeNight } from '../causes/made-night.js';
import { calmFrames } from '../causes/judge.js';

describe('opticalState, through fitNight', () => {
  it('speaks of micrometres when focal ratio and pitch are known, else of blur discs', () => {
    const frames = calmFrames(8, (k) => ({ tiltMicron: 90, focusMicron: -30 + 9 * k }));
    const known = madeNight({ frames }).optics[0];
    expect(known.unit).toBe('micron');
    // 5 x 3.76 um of defocus make a disc of one pixel.
    expect(known.detail.micronPerDiscPx).toBeCloseTo(18.8, 6);
    const bare = madeNight({ frames, bare: true }).optics[0];
    expect(bare.unit).toBe('px-blur');
    expect(bare.signsKnown).toBe(false);
    expect(Math.abs((bare.tilt!.span * 18.8) / known.tilt!.span - 1)).toBeLessThan(0.05);
  });

  it('does not trust the size of what is not there', () => {
    const { tilt, curvature } = madeNight({ frames: calmFrames(8) }).optics[0];
    expect(tilt!.span).toBeLessThan(2.5 * tilt!.spanError);
    expect(Math.abs(curvature!.corner)).toBeLessThan(2.5 * curvature!.error);
  });
});
