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

  it('takes the stars’ own axis where a fit of two frames is led astray', () => {
    const figures = madeNight({ frames: calmFrames(2, () => ({ trailArcsec: 1.5, trailDeg: 91 })) });
    const optics = figures.optics.map((o) => ({
      ...o,
      detail: {
        ...o.detail,
        frames: o.detail.frames.map((f) => ({ ...f, trailPlus: 0.02, trailCross: 0.6 })),
      },
    }));
    const p = trailPicture(nightSeries({ ...figures, optics }));
    expect(Math.abs(p.angleDeg - 91)).toBeLessThan(2);
    expect(p.axis).toBe('dec');
    // Two lengths tell no change.
    expect(p.unevenness).toBeNull();
  });

  it('trusts a faint elongation of undersampled stars less along rows than aslant, and a strong one either way', () => {
    const surety = (fwhmPx: number, elongation: number, angleDeg: number): number => {
      const figures = madeNight({ frames: calmFrames(1) });
      const [frame] = figures.frames;
      const narrow = {
        ...frame,
        fwhm: { ...frame.fwhm, px: fwhmPx },
        elongation,
        trail: { ...frame.trail, angleDeg, coherence: 0.95, significance: 12 },
      };
      return trailPicture(nightSeries({ ...figures, frames: [narrow], optics: [] })).trailed[0].confidence;
    };
    expect(surety(1.3, 1.1, 90)).toBeLessThan(0.3);
    expect(surety(1.3, 1.1, 90)).toBeLessThan(0.6 * surety(1.3, 1.1, 45));
    expect(surety(3.5, 1.1, 90)).toBeGreaterThan(1.5 * surety(1.3, 1.1, 90));
    expect(surety(1.3, 1.3, 90)).toBeGreaterThan(0.9);
  });
});
