import { describe, expect, it } from 'vitest';
import { calmFrames } from './judge.js';
import { madeNight } from './made-night.js';
import { nightSeries } from '../../src/causes/night-series.js';
import { nightConfidence, toldTrails, trailEvidence } from '../../src/causes/trail-answer.js';
import { trailPicture } from '../../src/causes/trails.js';

describe('trail answers', () => {
  it('take the surest frame for the night', () => {
    expect(nightConfidence([{ confidence: 0.3 }, { confidence: 0.8 }])).toBe(0.8);
    expect(nightConfidence([])).toBe(0);
  });

  it('carry values with units', () => {
    const picture = trailPicture(
      nightSeries(
        madeNight({ frames: calmFrames(6, (k) => (k > 3 ? { trailArcsec: 2, trailDeg: 0 } : {})) }),
      ),
    );
    const frames = picture.trailed.map((t) => ({ file: t.fact.file, confidence: t.confidence }));
    const evidence = trailEvidence(toldTrails([{ picture, frames, confidence: 0.9 }]));
    expect(evidence[0].value).toBe(2);
    expect(evidence.every((e) => Number.isFinite(e.value))).toBe(true);
    expect(evidence.some((e) => e.unit === 'arcsec')).toBe(true);
  });

  it('tell only of the frames named, with their own axis', () => {
    const picture = trailPicture(
      nightSeries(
        madeNight({
          frames: calmFrames(6, (k) =>
            k > 3 ? { trailArcsec: 2, trailDeg: 1 } : k > 2 ? { trailArcsec: 2, trailDeg: 60 } : {},
          ),
        }),
      ),
    );
    const frames = picture.trailed.slice(4).map((t) => ({ file: t.fact.file, confidence: 0.9 }));
    const told = toldTrails([{ picture, frames, confidence: 0.9 }]);
    expect(told.trailed.map((t) => t.fact.file)).toEqual(['frame-005.fits', 'frame-006.fits']);
    const axis = told.picture.angleDeg;
    expect(Math.min(axis, 180 - axis)).toBeLessThan(4);
    expect(told.picture.axis).toBe('ra');
    // Two trails are too few to tell how their length changes.
    const words = trailEvidence(told).map((e) => e.what);
    expect(words.some((w) => w.startsWith('change of the trail length'))).toBe(picture.unevenness !== null);
  });
});
