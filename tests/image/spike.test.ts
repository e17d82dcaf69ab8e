import { describe, expect, it } from 'vitest';
import { isSpike, spikeRatio } from '../../src/image/spike.js';

describe('spikes', () => {
  it('are asked for more neighbouring light the wider the stars are', () => {
    expect(spikeRatio(1.2)).toBeLessThan(spikeRatio(3));
    // Four neighbours of a Gaussian star of width 2 px centred on a pixel carry 2^-(4/4) = 1/2 each; half of it asked for.
    expect(spikeRatio(2)).toBeCloseTo(0.25, 6);
    expect(spikeRatio(3, Math.SQRT2)).toBeLessThan(spikeRatio(3));
  });

  it('are told from stars by their neighbours', () => {
    const flat = new Uint16Array(25).fill(100);
    const hot = Uint16Array.from(flat);
    hot[12] = 900;
    const star = Uint16Array.from(hot);
    for (const k of [11, 13, 7, 17]) star[k] = 500;
    expect(isSpike(hot, 5, 12, 100, 5, spikeRatio(2), false)).toBe(true);
    expect(isSpike(star, 5, 12, 100, 5, spikeRatio(2), false)).toBe(false);
  });

  it('look at the diagonal neighbours on the green sites of a mosaic', () => {
    const green = new Uint16Array(25).fill(100);
    green[12] = 900;
    for (const k of [6, 8, 16, 18]) green[k] = 450;
    expect(isSpike(green, 5, 12, 100, 5, spikeRatio(3, Math.SQRT2), true)).toBe(false);
    expect(isSpike(green, 5, 12, 100, 5, spikeRatio(3), false)).toBe(true);
  });
});
