import { describe, expect, it } from 'vitest';
import { calmFrames } from './judge.js';
import { madeNight } from './made-night.js';
import { clearestLoss, frameAirmass, losses } from '../../src/causes/extinction.js';
import { nightSeries } from '../../src/causes/night-series.js';

describe('extinction', () => {
  it('takes out what the airmass accounts for, and no more', () => {
    const night = nightSeries(
      madeNight({
        frames: calmFrames(
          3,
          (k) =>
            [
              { transparency: 1, header: { airmass: 1 } },
              { transparency: 10 ** (-0.4 * 0.2), header: { airmass: 2 } },
              { transparency: 0.4, header: { airmass: 2 } },
            ][k],
        ),
      }),
    );
    const list = losses(night.facts);
    // Between 0.1 and 0.3 mag for the second airmass: no loss.
    expect(list[1].corrected).toBeGreaterThanOrEqual(1);
    // 0.4 over the granted 0.3 mag.
    expect(list[2].corrected).toBeCloseTo(0.4 / 10 ** -0.12, 6);
    expect(clearestLoss(1)).toBe(1);
    expect(clearestLoss(null)).toBe(1);
  });

  it('finds the airmass in the header, from the altitude, or from place, time and target', () => {
    const [frame] = madeNight({ frames: calmFrames(1) }).frames;
    const airmassOf = (header: object) => frameAirmass({ ...frame, header: { ...frame.header, ...header } });
    expect(airmassOf({ airmass: 1.7 })).toBe(1.7);
    expect(airmassOf({ airmass: null, altitudeDeg: 30 })).toBeCloseTo(1.994, 2);
    // The made target stands 78 degrees high then.
    const worked = airmassOf({ airmass: null, altitudeDeg: null })!;
    expect(worked).toBeGreaterThan(1);
    expect(worked).toBeLessThan(1.1);
    expect(airmassOf({ airmass: null, altitudeDeg: null, raDeg: null })).toBeNull();
  });
});
