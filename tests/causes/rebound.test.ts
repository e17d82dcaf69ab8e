import { describe, expect, it } from 'vitest';
import { calmFrames } from './judge.js';
import { madeNight } from './made-night.js';
import { focusRuns } from '../../src/causes/focus-runs.js';
import { nightSeries } from '../../src/causes/night-series.js';
import { reboundLogOdds } from '../../src/causes/rebound.js';

const course = (facts: readonly unknown[]): number[] => facts.map((_, k) => (0.2 * k) / 5);

/** Six frames that widen by 22 %, then four after the focuser has moved: as sharp as at first, or still as soft. */
const night = (after: number, moves = true) =>
  nightSeries(
    madeNight({
      frames: calmFrames(10, (k) => ({
        seeingArcsec: k < 6 ? 2.6 * (1 + 0.044 * k) : after,
        header: { focuserPosition: moves && k >= 6 ? 120 : 100, focuserMicronPerStep: null },
      })),
    }),
  );

describe('reboundLogOdds', () => {
  it('speaks for focus where a new setting sharpens the stars, against it where they stay soft', () => {
    const sharp = night(2.6);
    const [run] = focusRuns(sharp);
    expect(run.facts).toHaveLength(6);
    expect(reboundLogOdds(sharp, run.facts, course(run.facts))).toBeGreaterThan(1.5);
    const soft = night(3.15);
    const [again] = focusRuns(soft);
    expect(reboundLogOdds(soft, again.facts, course(again.facts))).toBeLessThan(-1.5);
  });

  it('says nothing without a move of the focuser, or without a widening', () => {
    const still = night(2.6, false);
    const first = still.facts.slice(0, 6);
    expect(reboundLogOdds(still, first, course(first))).toBe(0);
    const sharp = night(2.6);
    const [run] = focusRuns(sharp);
    expect(
      reboundLogOdds(
        sharp,
        run.facts,
        run.facts.map(() => 0),
      ),
    ).toBe(0);
  });
});
