import { describe, expect, it } from 'vitest';
import { spikeRatio } from '../../src/image/spike.js';

describe('spikes', () => {
  it('are asked for more neighbouring light the wider the stars are', () => {
    expect(spikeRatio(1.2)).toBeLessThan(spikeRatio(3));
    // Four neighbours of a Gaussian star of width 2 px centred on a pixel carry 2^-(4/4) = 1/2 each; half of it asked for.
    expect(spikeRatio(2)).toBeCloseTo(0.25, 6);
    expect(spikeRatio(3, Math.SQRT2)).toBeLessThan(spikeRatio(3));
  });
});
