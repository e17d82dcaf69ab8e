import { describe, expect, it } from 'vitest';
import { calmFrames } from './judge.js';
import { madeNight } from './made-night.js';
import { nightSeries } from '../../src/causes/night-series.js';
import { trailPicture, windLogOdds } from '../../src/causes/trails.js';

const picture = (make: Parameters<typeof calmFrames>[1]) =>
  trailPicture(nightSeries(madeNight({ frames: calmFrames(10, make) })));

describe('trailPicture', () => {
  it('measures the RMS along the trail and its axis', () => {
    const p = picture((k) => (k > 4 ? { trailArcsec: 1.5, trailDeg: 30 } : {}));
    const bad = p.trailed.filter((t) => t.confidence > 0.5);
    expect(bad).toHaveLength(5);
    expect(Math.abs(bad[0].rms / 1.5 - 1)).toBeLessThan(0.15);
    expect(Math.abs(p.angleDeg - 30)).toBeLessThan(3);
    expect(p.agreement).toBeGreaterThan(0.95);
    expect(p.axis).toBe('other');
    expect(p.axisSource).toBe('pixel-axes');
  });

  it('names the axis of the mount when the camera is squared on', () => {
    expect(picture((k) => (k > 4 ? { trailArcsec: 1.5, trailDeg: 178 } : {})).axis).toBe('ra');
    expect(picture((k) => (k > 4 ? { trailArcsec: 1.5, trailDeg: 92 } : {})).axis).toBe('dec');
  });

  it('leans to wind for changing axes, to guiding for one', () => {
    expect(
      windLogOdds(
        picture((k) => (k > 2 ? { trailArcsec: 1 + 0.5 * (k % 3), trailDeg: (k * 50) % 180 } : {})),
      ),
    ).toBeGreaterThan(0.5);
    expect(windLogOdds(picture((k) => (k > 2 ? { trailArcsec: 1.4, trailDeg: 1 } : {})))).toBeLessThan(-0.5);
  });

  it('has nothing to say of calm frames', () => {
    const p = picture(() => ({}));
    expect(p.trailed.every((t) => t.confidence < 0.4)).toBe(true);
    expect(p.axis).toBe('unknown');
  });
});
