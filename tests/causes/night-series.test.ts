import { describe, expect, it } from 'vitest';
import { calmFrames } from './judge.js';
import { madeNight } from './made-night.js';
import { isDim, nightSeries } from '../../src/causes/night-series.js';

describe('nightSeries', () => {
  it('sorts by time and works out what several causes ask', () => {
    const figures = madeNight({
      frames: calmFrames(6, (k) =>
        k === 3 ? { seeingArcsec: 3.6 } : k === 4 ? { trailArcsec: 2, trailDeg: 30 } : {},
      ),
    });
    const { facts } = nightSeries({ ...figures, frames: [...figures.frames].reverse() });
    expect(facts[0].file).toBe('frame-001.fits');
    expect(facts[1].hours).toBeCloseTo(130 / 3600, 6);
    expect(facts[3].softness!).toBeGreaterThan(1.25);
    expect(facts[3].widthRatio!).toBeGreaterThan(0.97);
    expect(facts[4].disturbed).toBe(true);
    expect(facts[0].disturbed).toBe(false);
    expect(Math.abs(facts[4].trail!.angleDeg - 30)).toBeLessThan(5);
  });

  it('does not call a frame dim for its airmass alone', () => {
    const [low, clouded] = madeNight({
      frames: calmFrames(2, (k) =>
        k === 0 ? { transparency: 0.8, header: { airmass: 2 } } : { transparency: 0.8 },
      ),
    }).frames;
    expect(isDim(low)).toBe(false);
    expect(isDim(clouded)).toBe(true);
  });
});
