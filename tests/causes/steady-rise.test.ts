import { describe, expect, it } from 'vitest';
import { nightSeries } from '../../src/causes/night-series.js';
import {
  courseAt,
  steadyCourse,
  steadyDriftLogOdds,
  steadyLogOdds,
  steadyRise,
} from '../../src/causes/steady-rise.js';
import { normal, seeded } from '../field/made-stars.js';
import { calmFrames } from './judge.js';
import { madeNight } from './made-night.js';

const hours = Array.from({ length: 16 }, (_, k) => k / 8);
const series = (make: (k: number, noise: number) => number, seed = 5): number[] => {
  const random = seeded(seed);
  return hours.map((_, k) => make(k, normal(random)));
};

describe('steadyCourse', () => {
  it('finds a ramp in scatter, with its size', () => {
    const found = steadyCourse(
      hours,
      series((k, noise) => 0.02 * k + 0.03 * noise),
      0.008,
    )!;
    // 15 steps of 0.02; error of a ramp's height from 16 values with scatter 0.03: 0.03 sqrt(12/16).
    expect(Math.abs(found.rise - 0.3)).toBeLessThan(3 * 0.026);
    expect(found.steadier).toBeGreaterThan(1);
    expect(steadyLogOdds(found)).toBeGreaterThan(1);
    expect(Math.min(...found.course)).toBeCloseTo(0, 9);
  });

  it('does not believe noise or a random walk', () => {
    let walk = 0;
    const odds = Array.from({ length: 20 }, (_, seed) => {
      walk = 0;
      const wander = series((_, noise) => (walk += 0.05 * noise), seed + 1);
      const calm = series((_, noise) => 0.04 * noise, seed + 1);
      return [wander, calm].map((y) => steadyLogOdds(steadyCourse(hours, y, 0.008)));
    });
    // A walk may look steady now and then, noise hardly ever.
    expect(odds.filter(([wander]) => wander > 1).length).toBeLessThanOrEqual(5);
    expect(odds.filter(([, calm]) => calm > 0).length).toBeLessThanOrEqual(1);
  });

  it('is null for a handful of values', () => {
    expect(steadyCourse([0, 1, 2], [1, 2, 3], 0.01)).toBeNull();
    expect(steadyLogOdds(null)).toBeLessThan(-2);
  });
});

describe('steadyRise and steadyDriftLogOdds', () => {
  const facts = (make: Parameters<typeof calmFrames>[1]) =>
    nightSeries(madeNight({ frames: calmFrames(12, make) })).facts;

  it('believes a steady widening more than a narrowing, and not across moves of the focuser', () => {
    const widening = steadyRise(facts((k) => ({ seeingArcsec: 2 * (1 + 0.03 * k) })))!;
    const narrowing = steadyRise(facts((k) => ({ seeingArcsec: 2 * (1.33 - 0.03 * k) })))!;
    const moved = steadyRise(
      facts((k) => ({
        seeingArcsec: 2 * (1 + 0.03 * k),
        header: { focuserPosition: 100 + 5 * Math.floor(k / 4) },
      })),
    )!;
    // Air that worsens evenly looks the same: without a word from the shape of the stars it stays a doubt, with it it convinces.
    expect(steadyDriftLogOdds(widening, null)).toBeGreaterThan(-1);
    expect(steadyDriftLogOdds(widening, null)).toBeLessThan(0);
    expect(steadyDriftLogOdds(widening, { share: 1, error: 0.2 })).toBeGreaterThan(3);
    expect(steadyDriftLogOdds(widening, { share: 0, error: 0.2 })).toBeLessThan(-0.3);
    expect(steadyDriftLogOdds(narrowing, null)).toBeLessThan(steadyDriftLogOdds(widening, null) - 1);
    expect(steadyDriftLogOdds(moved, null)).toBeLessThan(steadyDriftLogOdds(widening, null) - 2);
    // So far air seldom worsens so evenly: likely focus, though the stars keep the shape that air gives them.
    const far = steadyRise(facts((k) => ({ seeingArcsec: 2 * 1.08 ** k })))!;
    expect(far.rise).toBeGreaterThan(0.75);
    expect(steadyDriftLogOdds(far, { share: 0, error: 0.15 })).toBeGreaterThan(0.5);
    const back = steadyRise(facts((k) => ({ seeingArcsec: 4.6 / 1.08 ** k })))!;
    expect(steadyDriftLogOdds(back, null)).toBeLessThan(-1);
    expect(courseAt(widening, widening.facts[11])).toBeGreaterThan(0.2);
    expect(courseAt(null, widening.facts[0])).toBe(0);
  });
});
