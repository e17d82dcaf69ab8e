import { describe, expect, it } from 'vitest';
import { calmFrames } from './judge.js';
import { madeNight } from './made-night.js';
import { setups, softeningPercent, typicalFocusPx } from '../../src/causes/field-effect.js';
import { nightSeries } from '../../src/causes/night-series.js';

describe('field effects', () => {
  it('turns a blur disc into softening', () => {
    expect(softeningPercent(0, 3)).toBe(0);
    // Disc of one FWHM: added variance 1/16 on 0.2, times 1.25, under a root: 17.9 %.
    expect(softeningPercent(3, 3)).toBeCloseTo(17.9, 1);
  });

  it('lists the set-ups with their frames, the largest first', () => {
    const [setup] = setups(nightSeries(madeNight({ frames: calmFrames(5, () => ({ focusMicron: 90 })) })));
    expect(setup.facts).toHaveLength(5);
    expect(setup.fwhmPx).toBeGreaterThan(2.4);
    expect(typicalFocusPx(setup)).toBeGreaterThanOrEqual(0);
    expect(setups(nightSeries(madeNight({ frames: [] })))).toEqual([]);
  });
});
