import { describe, expect, it } from 'vitest';
import { calmFrames } from './judge.js';
import { madeNight } from './made-night.js';
import { driftOfRun } from '../../src/causes/focus-trend.js';
import { nightSeries } from '../../src/causes/night-series.js';

const facts = (make: Parameters<typeof calmFrames>[1], count = 12) =>
  nightSeries(madeNight({ frames: calmFrames(count, make) })).facts;

describe('driftOfRun', () => {
  it('measures a drift and when it begins to matter', () => {
    const drift = driftOfRun(facts((k) => ({ focusMicron: 9 * k })))!;
    expect(drift.significance).toBeGreaterThan(5);
    // 99 um at f/5: disc of 5.3 px on stars of 2.5 px; widths carry it to a fifth.
    expect(Math.abs((drift.travelPx * 18.8) / 99)).toBeGreaterThan(0.75);
    expect(Math.abs((drift.travelPx * 18.8) / 99)).toBeLessThan(1.25);
    expect(drift.hoursToSoften).toBeGreaterThan(0.05);
    expect(drift.hoursToSoften).toBeLessThan(0.4);
    expect(drift.blockBetter).toBeLessThan(1);
  });

  it('prefers a block for a bump', () => {
    expect(driftOfRun(facts((k) => ({ focusMicron: k > 3 && k < 8 ? 90 : 0 })))!.blockBetter).toBeGreaterThan(
      3,
    );
  });

  it('follows the surface through a known move of the focuser', () => {
    // The focuser follows at frame 7 by 54 um outwards, 36 steps of 1.5 um.
    const drift = driftOfRun(
      facts((k) => ({
        focusMicron: 9 * k - (k < 6 ? 0 : 54),
        header: { focuserPosition: 12400 + (k < 6 ? 0 : 36) },
      })),
    )!;
    expect(Math.abs(Math.abs(drift.travelPx * 18.8) / 99 - 1)).toBeLessThan(0.3);
  });

  it('is null with fewer than five frames', () => {
    expect(driftOfRun(facts(() => ({}), 4))).toBeNull();
  });
});
