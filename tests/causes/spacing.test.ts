import { describe, expect, it } from 'vitest';
import { calmFrames } from './judge.js';
import { madeNight } from './made-night.js';
import { setups } from '../../src/causes/field-effect.js';
import { nightSeries } from '../../src/causes/night-series.js';
import { judgeSpacing, spacingVerdict } from '../../src/causes/spacing.js';

const night = (make: Parameters<typeof calmFrames>[1]) =>
  nightSeries(madeNight({ frames: calmFrames(10, make) }));
const verdict = (make: Parameters<typeof calmFrames>[1]) => spacingVerdict(setups(night(make))[0]);

describe('spacingVerdict', () => {
  it('follows third-order theory: medial 2x, astigmatism 1 + x', () => {
    // Residual astigmatism of 40 um at the corner; x = spacing error in its unit.
    const of = (x: number) => verdict(() => ({ medialMicron: -80 * x, astigmatismMicron: -40 * (1 + x) }));
    expect(of(1).short).toBeGreaterThan(0.8);
    expect(of(-0.6).short).toBeLessThan(0.2);
    expect(of(1).wrong).toBeGreaterThan(0.8);
    expect(of(1).ratio!).toBeCloseTo(1, 0);
  });

  it('finds nothing wrong with a flat field', () => {
    expect(verdict(() => ({})).wrong).toBeLessThan(0.2);
  });
});

describe('judgeSpacing', () => {
  it('does not guess the direction where the pattern does not say it', () => {
    // Astigmatism half the curvature, no drift: the ratio of two is where the theory is blind.
    const blind = night(() => ({
      medialMicron: 70,
      astigmatismMicron: 35,
      focusMicron: 0,
      header: { ambientTemperatureC: null },
    }));
    expect(judgeSpacing(blind, 'short').answer).toBe('cannot-tell');
    expect(judgeSpacing(blind, 'long').answer).toBe('cannot-tell');
  });
});
