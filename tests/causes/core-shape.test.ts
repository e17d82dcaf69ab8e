import { describe, expect, it } from 'vitest';
import { calmFrames } from './judge.js';
import { madeNight } from './made-night.js';
import { coreLogOdds, coreRise, coreShape } from '../../src/causes/core-shape.js';
import { nightSeries } from '../../src/causes/night-series.js';

/** Five clear frames, five that dim and widen; beta as given for these. */
const facts = (beta: (k: number) => number) => {
  const night = madeNight({
    frames: calmFrames(10, (k) => ({
      transparency: k < 5 ? 1 : 0.85 - 0.05 * (k - 5),
      seeingArcsec: 2.6 * (k < 5 ? 1 : 1 + 0.04 * (k - 4)),
    })),
  });
  return nightSeries({
    ...night,
    frames: night.frames.map((f, k) => ({ ...f, beta: k < 5 ? 4 : beta(k) })),
  }).facts;
};

describe('coreShape and coreLogOdds', () => {
  it('see defocus in cores that fill, and none in cores that stay', () => {
    const filled = facts((k) => 4 * Math.exp(2 * 0.04 * (k - 4)));
    expect(coreShape(filled)[9]).toBeCloseTo(0.4, 2);
    expect(coreShape(filled)[0]).toBeNaN();
    expect(coreLogOdds(filled)).toBeGreaterThan(1.5);
    expect(coreLogOdds(facts(() => 4))).toBeLessThan(0);
  });

  it('say nothing without dimmed frames', () => {
    expect(coreLogOdds(facts(() => 5).slice(0, 5))).toBe(0);
    expect(coreShape(facts(() => 5).slice(4)).every(Number.isNaN)).toBe(true);
  });
});

describe('coreRise', () => {
  // Means over 20 simulated nights of drifting focus: (Q, rise of ln beta).
  it.each([
    [0.03, 0.02],
    [0.073, 0.083],
    [0.125, 0.167],
    [0.184, 0.258],
    [0.312, 0.588],
  ])('agrees with fitted stars at Q = %d', (added, rise) => {
    expect(Math.abs(coreRise(added) - rise)).toBeLessThan(0.035);
  });
});
