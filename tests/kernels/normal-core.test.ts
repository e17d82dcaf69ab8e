import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { coreNumbers, type NormalCore } from '../../src/stats/index.js';
import { seededRandom } from '../scenes/random.js';
import { place, placeFloats } from './in-memory.js';
import { plainCore } from './plain-core.js';

function normalCore(
  values: readonly number[],
  start: { readonly mean: number; readonly sd: number },
  below = 3,
  above = 1,
): NormalCore {
  const { kernels, area } = place(new Uint16Array(1));
  const cut = area.doubles(12);
  cut.view.set(coreNumbers(below, above));
  const out = area.doubles(3);
  kernels.normalCore(
    placeFloats(area, values),
    values.length,
    start.mean,
    start.sd,
    cut.address,
    out.address,
  );
  const [mean, sd, used] = out.view;
  return { mean, sd, used };
}

function sample(count: number, seed: number, contamination: number): number[] {
  const random = seededRandom(seed);
  return Array.from({ length: count }, () => {
    const sky = 100 + 5 * random.normal();
    return random.uniform() < contamination ? sky - 40 * Math.log(1 - random.uniform()) : sky;
  });
}

describe('normal core', () => {
  it('is that of plain loops', () => {
    const cases = fc.record({
      seed: fc.integer({ min: 1, max: 1000 }),
      count: fc.integer({ min: 0, max: 600 }),
      light: fc.constantFrom(0, 0.1, 0.4),
      off: fc.integer({ min: -8, max: 8 }),
      above: fc.constantFrom(0.8, 2.5),
    });
    fc.assert(
      fc.property(cases, ({ seed, count, light, off, above }) => {
        const values = sample(count, seed, light).map(Math.fround);
        const start = { mean: 100 + off, sd: 6 };
        const found = normalCore(values, start, 3, above);
        const plain = plainCore(values, start, 3, above);
        expect(found.used).toBe(plain.used);
        // Sums in 32-bit floats.
        expect(found.mean).toBeCloseTo(plain.mean, 3);
        expect(found.sd).toBeCloseTo(plain.sd, 3);
      }),
      // Always the same cases: once in thousands an entry lies so near a bound that the rounding of floats decides.
      { seed: 1, numRuns: 300 },
    );
  });

  // 20000 values: the mean of a normal is known to 5 / sqrt(20000) = 0.035, of its truncated part to about twice that.
  it('recovers mean and sd of a clean normal sample', () => {
    const core = normalCore(sample(20000, 1, 0), { mean: 103, sd: 8 });
    expect(Math.abs(core.mean - 100)).toBeLessThan(0.2);
    expect(Math.abs(core.sd / 5 - 1)).toBeLessThan(0.02);
  });

  it('hardly notices light on the high side that pulls a plain mean far off', () => {
    const values = sample(20000, 2, 0.15);
    const plain = values.reduce((sum, v) => sum + v, 0) / values.length;
    const core = normalCore(values, { mean: 102, sd: 7 });
    expect(plain - 100).toBeGreaterThan(5);
    expect(Math.abs(core.mean - 100)).toBeLessThan(0.6);
    expect(Math.abs(core.sd / 5 - 1)).toBeLessThan(0.06);
  });

  it('gives the guess back when there is next to nothing to look at', () => {
    expect(normalCore([1, 2, 3], { mean: 2, sd: 1 })).toMatchObject({ mean: 2, sd: 1 });
    expect(normalCore(new Array<number>(50).fill(7), { mean: 7, sd: 0 })).toMatchObject({ mean: 7, sd: 0 });
  });
});
