import { describe, expect, it } from 'vitest';
import { findSteps } from '../../src/stats/find-steps.js';
import { makeRandom } from '../../src/simulate/random.js';

const noise = (seed: number, count: number) => {
  const random = makeRandom(seed, 'find-steps');
  return Array.from({ length: count }, () => random.normal());
};
const days = (count: number) => Array.from({ length: count }, (_, i) => i);

describe('steps in a series', () => {
  it('steps of 1.5 sigma are placed within four values in at least 18 of 20 series', () => {
    let found = 0;
    for (let seed = 1; seed <= 20; seed++) {
      const at = 40 + 3 * seed;
      const y = noise(seed, 150).map((value, i) => value + (i >= at ? 1.5 : 0));
      if (findSteps(days(150), y).steps.some((step) => Math.abs(step.index - at) <= 4)) found++;
    }
    expect(found).toBeGreaterThanOrEqual(18);
  });

  it('twenty quiet series of two years: at most one false alarm in all', () => {
    let alarms = 0;
    for (let seed = 1; seed <= 20; seed++)
      alarms += findSteps(days(300), noise(100 + seed, 300)).steps.length;
    expect(alarms).toBeLessThanOrEqual(1);
  });

  it('gives size and error of a step', () => {
    const y = noise(3, 100).map((value, i) => 10 + value + (i >= 60 ? 5 : 0));
    const { steps, drifts } = findSteps(days(100), y);
    expect(steps).toHaveLength(1);
    expect(steps[0].index).toBe(60);
    expect(drifts).toEqual([0, 0]);
    // Standard error of the difference of two means: sqrt(1/60 + 1/40) = 0.2.
    expect(steps[0].error).toBeGreaterThan(0.14);
    expect(steps[0].error).toBeLessThan(0.28);
    expect(Math.abs(steps[0].size - 5)).toBeLessThan(4 * steps[0].error);
  });

  it('a steady drift is a drift, not a staircase', () => {
    const y = noise(4, 200).map((value, i) => value + 0.03 * i);
    const { steps, drifts } = findSteps(days(200), y);
    expect(steps).toHaveLength(0);
    expect(drifts[0]).toBeCloseTo(0.03, 2);
  });

  it('a drift does not hide a step', () => {
    const y = noise(5, 200).map((value, i) => value + 0.03 * i + (i >= 120 ? -6 : 0));
    const { steps, drifts } = findSteps(days(200), y);
    expect(steps.map((step) => step.index)).toEqual([120]);
    expect(drifts[0]).toBeCloseTo(0.03, 2);
  });

  it('level, then a slow decay, then mended: one drift and one step, no staircase', () => {
    let clean = 0;
    for (let seed = 1; seed <= 20; seed++) {
      const y = noise(300 + seed, 130).map(
        (value, i) => value + (i >= 70 && i < 110 ? 0.3 * (i - 70) : i >= 110 ? -2 : 0),
      );
      const { steps, drifts } = findSteps(days(130), y);
      const mended = steps.at(-1);
      if (
        steps.map((step) => step.kind).join() === 'bend,step' &&
        drifts[0] === 0 &&
        Math.abs(drifts[1] - 0.3) < 0.1 &&
        drifts[2] === 0 &&
        mended !== undefined &&
        Math.abs(mended.index - 110) <= 1 &&
        // The line of 40 values at its end: error 0.3; the jump is twelve and two below the level.
        Math.abs(mended.size + 13.7) < 2
      )
        clean++;
    }
    expect(clean).toBeGreaterThanOrEqual(18);
  });

  it('one bad value, or two, are no step', () => {
    const y = noise(6, 100);
    y[40] = 60;
    y[41] = 55;
    expect(findSteps(days(100), y).steps).toHaveLength(0);
  });

  it('values that resemble their neighbours raise few false alarms', () => {
    let alarms = 0;
    for (let seed = 1; seed <= 20; seed++) {
      let previous = 0;
      const y = noise(200 + seed, 300).map((value) => (previous = 0.4 * previous + value));
      alarms += findSteps(days(300), y).steps.length;
    }
    // One in two years (300 nights) is what a figure may cry wolf; without allowing for likeness it would be several.
    expect(alarms).toBeLessThanOrEqual(20);
  });

  it('too short or all equal: nothing', () => {
    expect(findSteps(days(7), [0, 0, 0, 9, 9, 9, 9])).toMatchObject({ steps: [], drifts: [0] });
    expect(findSteps(days(20), Array(20).fill(3))).toEqual({ steps: [], drifts: [0], sigma: 0 });
    expect(findSteps([], [])).toMatchObject({ steps: [], sigma: 0 });
  });
});
