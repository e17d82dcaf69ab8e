import { describe, expect, it } from 'vitest';
import { calmFrames } from './judge.js';
import { madeNight } from './made-night.js';
import { nightSeries } from '../../src/causes/night-series.js';
import { nightConfidence, trailEvidence } from '../../src/causes/trail-answer.js';
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
    const evidence = trailEvidence(picture);
    expect(evidence[0].value).toBe(2);
    expect(evidence.every((e) => Number.isFinite(e.value))).toBe(true);
    expect(evidence.some((e) => e.unit === 'arcsec')).toBe(true);
  });
});
