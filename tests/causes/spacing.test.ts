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
  it('says less where theory has two answers and nothing but the shape of the corners speaks', () => {
    // No drift, so that the sense of focus stays open. Curvature twice the astigmatism: far too long, or short by the rule of thumb.
    const of = (medialMicron: number) =>
      judgeSpacing(
        night(() => ({
          medialMicron,
          astigmatismMicron: 35,
          focusMicron: 0,
          header: { ambientTemperatureC: null },
        })),
        'short',
      );
    const [clear, blind] = [of(35), of(80)];
    if (clear.answer !== 'found' || blind.answer !== 'found') throw new Error('both are found');
    expect(clear.confidence).toBeGreaterThan(0.8);
    expect(blind.confidence).toBeLessThan(clear.confidence - 0.05);
    expect(blind.confidence).toBeGreaterThan(0.5);
  });

  it('does not guess the direction of a bowl without astigmatism', () => {
    const bowl = night(() => ({ medialMicron: 90, focusMicron: 0, header: { ambientTemperatureC: null } }));
    expect(judgeSpacing(bowl, 'short').answer).toBe('cannot-tell');
    expect(judgeSpacing(bowl, 'long').answer).toBe('cannot-tell');
  });
});
