import { describe, expect, it } from 'vitest';
import { simulateRigYear } from '../../src/simulate/rig-year.js';
import type { RigYearNight } from '../../src/simulate/rig-year.js';

const mean = (values: readonly number[]): number => values.reduce((a, b) => a + b, 0) / values.length;
const year = simulateRigYear({ seed: 3 });
const between = (from: string, to: string): readonly RigYearNight[] =>
  year.nights.filter(({ date }) => date >= from && date < to);

describe('simulateRigYear', () => {
  it('is the same for the same seed', () => {
    expect(simulateRigYear({ seed: 3 })).toEqual(year);
    expect(simulateRigYear({ seed: 4 }).nights.length).not.toBe(0);
    expect(simulateRigYear({ seed: 4 })).not.toEqual(year);
  });

  it('has a clear night about every third', () => {
    expect(year.nights.length).toBeGreaterThan(80);
    expect(year.nights.length).toBeLessThan(180);
    expect(new Set(year.nights.map(({ date }) => date)).size).toBe(year.nights.length);
  });

  it('has better seeing in summer', () => {
    const winter = between('2025-12-01', '2026-02-15').map((n) => n.seeingZenithArcsec);
    const summer = between('2026-06-01', '2026-08-15').map((n) => n.seeingZenithArcsec);
    expect(mean(winter)).toBeGreaterThan(mean(summer) + 0.3);
  });

  it('shows each planted change in the figures, after its date and not before', () => {
    const [slip, thread, spacer, , mended] = year.events;
    const tilt = (from: string, to: string): number => mean(between(from, to).map((n) => n.tilt.spanMicron));
    expect(tilt('2025-09-01', slip.date)).toBeLessThan(20);
    expect(tilt(slip.date, thread.date)).toBeGreaterThan(40);
    expect(tilt(thread.date, '2026-09-01')).toBeLessThan(20);
    const curvature = (from: string, to: string): number =>
      mean(between(from, to).map((n) => n.curvature.cornerMicron));
    expect(curvature(spacer.date, '2026-09-01') - curvature('2025-09-01', spacer.date)).toBeCloseTo(30, -1);
    const guiding = (nights: readonly RigYearNight[]): number =>
      mean(nights.flatMap((n) => n.frames.map((f) => f.guidingRaArcsec)));
    const before = year.nights.filter(({ date }) => date < mended.date).slice(-10);
    expect(guiding(before)).toBeGreaterThan(guiding(year.nights.slice(0, 10)) + 0.15);
    expect(guiding(between(mended.date, '2026-09-01'))).toBeLessThan(0.55);
  });

  it('without events only scatters', () => {
    const plain = simulateRigYear({ seed: 5, events: [], framesPerNight: 5 });
    expect(new Set(plain.nights.map((n) => n.truth.tiltSpanMicron)).size).toBe(1);
    expect(new Set(plain.nights.map((n) => n.truth.guidingRaArcsec)).size).toBe(1);
  });
});
