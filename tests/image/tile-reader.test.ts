import { describe, expect, it } from 'vitest';
import { readerOf } from '../../src/image/tile-reader.js';
import { makeTileSampler } from '../../src/image/tile-sampler.js';
import { planeOf } from '../scenes/plane.js';
import { seededRandom } from '../scenes/random.js';

describe('readings of tiles', () => {
  const random = seededRandom(4);
  const noise = Float64Array.from({ length: 96 * 96 }, () => 10 * random.normal());
  // A tenth of the pixels stands on starlight.
  const plane = planeOf(96, 96, (x, y) => 700 + x + noise[96 * y + x] + (random.uniform() < 0.1 ? 200 : 0), {
    asFloat: true,
  });
  const reader = readerOf(makeTileSampler(plane, 96, 1, 1, 0));

  it('give median, darker spread and a core under starlight', () => {
    // 32 columns about 747.5: the slope adds 9.2 to the spread, starlight under the median some more.
    const { n, median, sd, coreMean } = reader.coarse(32, 0, 64, 96);
    expect(n).toBe(32 * 96);
    expect(median).toBeGreaterThan(747.5);
    expect(Math.abs(sd / Math.hypot(10, 9.2) - 1)).toBeLessThan(0.2);
    expect(coreMean).toBeLessThan(median);
  });

  it('give level and noise of what is left of a plane', () => {
    for (const isQuiet of [true, false]) {
      const core = reader.core(isQuiet, [32, 0, 64, 96], 730, 1, 0, 12);
      // 3000 pixels, a third of them with dark surroundings; without those the core leans on the dark side alone.
      expect(Math.abs(core.mean - 2)).toBeLessThan(isQuiet ? 1 : 2);
      expect(Math.abs(core.sd / 10 - 1)).toBeLessThan(0.1);
    }
  });
});
