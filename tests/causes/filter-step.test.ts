import { describe, expect, it } from 'vitest';
import { filterStepLogOdds, filterSteps } from '../../src/causes/filter-step.js';
import { nightSeries } from '../../src/causes/night-series.js';
import { calmFrames } from './judge.js';
import { madeNight } from './made-night.js';

const facts = (make: Parameters<typeof calmFrames>[1]) =>
  nightSeries(madeNight({ frames: calmFrames(12, make) })).facts;

describe('filterSteps', () => {
  it('finds the filter whose stars are wider whenever it is in the beam', () => {
    const steps = filterSteps(
      facts((k) => ({ header: { filter: k % 2 ? 'B' : 'R' }, seeingArcsec: k % 2 ? 2.6 : 2 })),
    );
    const blue = steps.find((step) => step.filter === 'B')!;
    // Widths of the made frames hold the pixel as well: a little less than the ratio of the seeing.
    expect(blue.times).toBeGreaterThan(1.2);
    expect(blue.times).toBeLessThan(1.31);
    expect(filterStepLogOdds(blue)).toBeGreaterThan(2);
    expect(steps.find((step) => step.filter === 'R')!.times).toBe(1);
  });

  it('does not blame a filter for air that wanders', () => {
    const wander = [1, 1.05, 1.15, 1.2, 1.1, 1.05, 1.0, 1.1, 1.2, 1.25, 1.15, 1.1];
    const steps = filterSteps(
      facts((k) => ({ header: { filter: k < 6 ? 'B' : 'R' }, seeingArcsec: 2 * wander[k] })),
    );
    for (const step of steps) expect(filterStepLogOdds(step)).toBeLessThan(0);
  });

  it('is silent about a single filter', () => {
    expect(filterSteps(facts(() => ({})))).toEqual([]);
    expect(filterStepLogOdds(null)).toBeLessThan(-2);
  });
});
