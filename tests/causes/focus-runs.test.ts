import { describe, expect, it } from 'vitest';
import { calmFrames } from './judge.js';
import { madeNight } from './made-night.js';
import { defocusLogOdds, defocusShare, focusRuns } from '../../src/causes/focus-runs.js';
import { nightSeries } from '../../src/causes/night-series.js';

const series = (make: Parameters<typeof calmFrames>[1], bare = false) =>
  nightSeries(madeNight({ frames: calmFrames(12, make), bare }));

describe('focusRuns', () => {
  it('starts a run when the focuser moves, and keeps the group where the moves are known', () => {
    const position = (k: number) => ({ header: { focuserPosition: k < 5 ? 100 : 200 } });
    expect(focusRuns(series(position)).map((run) => run.facts.length)).toEqual([5, 7, 12]);
    const unknown = (k: number) => ({
      header: { focuserPosition: k < 5 ? 100 : 200, focuserMicronPerStep: null },
    });
    expect(focusRuns(series(unknown)).map((run) => run.facts.length)).toEqual([5, 7]);
  });
});

describe('defocusShare', () => {
  it('is near one for defocus and near zero for seeing', () => {
    const focus = defocusShare(series((k) => ({ focusMicron: 8 * k })).facts)!;
    expect(focus.share).toBeGreaterThan(0.6);
    expect(defocusLogOdds(focus)).toBeGreaterThan(0);
    const air = defocusShare(series((k) => ({ seeingArcsec: 2.4 + 0.1 * k })).facts)!;
    expect(Math.abs(air.share)).toBeLessThan(0.3);
    expect(defocusLogOdds(air)).toBeLessThan(0);
  });

  it('cannot say where nothing changes or too few frames are there', () => {
    expect(defocusShare(series(() => ({ seeingArcsec: 2.6 })).facts.slice(0, 3))).toBeNull();
    expect(defocusLogOdds(null)).toBe(0);
  });

  it('does not take more than all of the change for defocus', () => {
    expect(defocusLogOdds({ share: 1.8, error: 0.3 })).toBeGreaterThan(3);
    expect(defocusLogOdds({ share: 4.5, error: 0.9 })).toBeLessThan(-2);
  });
});
