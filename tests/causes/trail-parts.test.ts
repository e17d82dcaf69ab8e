import { describe, expect, it } from 'vitest';
import { calmFrames, judge } from './judge.js';
import { madeNight } from './made-night.js';
import { nightSeries } from '../../src/causes/night-series.js';
import { trailParts } from '../../src/causes/trail-parts.js';

type Made = Parameters<typeof calmFrames>[1];

/** Four gusts that widen the stars across too, then two frames that repeat one trail along the rows. */
const windThenMount: Made = (k) =>
  [
    {},
    {},
    { trailArcsec: 1.2, trailDeg: 66, seeingArcsec: 3.1 },
    { trailArcsec: 1.6, trailDeg: 110, seeingArcsec: 3.1 },
    {},
    { trailArcsec: 1.9, trailDeg: 72, seeingArcsec: 3.3 },
    { trailArcsec: 1.3, trailDeg: 130, seeingArcsec: 3.2 },
    {},
    {},
    { trailArcsec: 1.46, trailDeg: 4 },
    { trailArcsec: 1.45, trailDeg: 4 },
  ][k] ?? {};

describe('trailParts', () => {
  it('parts frames that repeat one trail from those that scatter', () => {
    const parts = trailParts(nightSeries(madeNight({ frames: calmFrames(14, windThenMount) })));
    expect(parts).toHaveLength(2);
    expect(parts[0].picture.trailed.map((t) => t.fact.file)).toEqual(['frame-010.fits', 'frame-011.fits']);
    expect(parts[0].windLogOdds).toBeLessThan(0);
    expect(parts[1].windLogOdds).toBeGreaterThan(0);
  });

  it('names both causes, each with its own frames and a word of the other', () => {
    const guiding = judge('guiding-trail', { frames: calmFrames(14, windThenMount) });
    const wind = judge('wind-shake', { frames: calmFrames(14, windThenMount) });
    expect(guiding.frames).toEqual(['frame-010.fits', 'frame-011.fits']);
    expect(wind.frames).toEqual(['frame-003.fits', 'frame-004.fits', 'frame-006.fits', 'frame-007.fits']);
    expect(guiding.advice).toContain('wind');
    expect(wind.advice).toContain('the mount');
  });

  it('parts a mount whose trails grow from gusts that come from one side', () => {
    const made: Made = (k) =>
      ({
        1: { trailArcsec: 1.1, trailDeg: 147, seeingArcsec: 3 },
        3: { trailArcsec: 1.7, trailDeg: 163, seeingArcsec: 3.2 },
        4: { trailArcsec: 1.3, trailDeg: 152, seeingArcsec: 3.1 },
        7: { trailArcsec: 0.9, trailDeg: 2 },
        8: { trailArcsec: 1.3, trailDeg: 1 },
        9: { trailArcsec: 1.8, trailDeg: 2 },
        12: { trailArcsec: 1.5, trailDeg: 158, seeingArcsec: 3.2 },
      })[k] ?? {};
    const guiding = judge('guiding-trail', { frames: calmFrames(14, made) });
    const wind = judge('wind-shake', { frames: calmFrames(14, made) });
    expect(guiding.frames).toEqual(['frame-008.fits', 'frame-009.fits', 'frame-010.fits']);
    expect(wind.frames).toEqual(['frame-002.fits', 'frame-004.fits', 'frame-005.fits', 'frame-013.fits']);
  });

  it('keeps gusts from all sides together, and trails of one axis', () => {
    const gusts: Made = (k) =>
      k > 3 ? { trailArcsec: [0.7, 1.7, 1, 1.9, 0.6, 1.3, 1.8][k % 7], trailDeg: (k * 47) % 180 } : {};
    expect(trailParts(nightSeries(madeNight({ frames: calmFrames(12, gusts) })))).toHaveLength(1);
    const steady: Made = (k) => (k > 3 ? { trailArcsec: 1.4, trailDeg: 2 } : {});
    expect(trailParts(nightSeries(madeNight({ frames: calmFrames(12, steady) })))).toHaveLength(1);
  });
});
