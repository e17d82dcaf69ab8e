import { describe, expect, it } from 'vitest';
import { normalCoreOf, type NormalCore } from '../../src/stats/truncated-normal.js';
import { seededRandom } from '../scenes/random.js';

/** Of an array, by plain sums. */
function normalCore(
  values: Float64Array,
  count: number,
  start: { readonly mean: number; readonly sd: number },
  below?: number,
  above?: number,
): NormalCore {
  return normalCoreOf(
    (centre, low, high) => {
      let n = 0;
      let sum = 0;
      let squares = 0;
      for (let i = 0; i < count; i += 1) {
        const v = values[i]!;
        if (v < low || v > high) continue;
        n += 1;
        sum += v - centre;
        squares += (v - centre) ** 2;
      }
      return { n, sum, squares };
    },
    start,
    below,
    above,
  );
}

function sample(count: number, seed: number, contamination: number): Float64Array {
  const random = seededRandom(seed);
  return Float64Array.from({ length: count }, () => {
    const sky = 100 + 5 * random.normal();
    return random.uniform() < contamination ? sky - 40 * Math.log(1 - random.uniform()) : sky;
  });
}

describe('normal core', () => {
  // 20000 values: the mean of a normal is known to 5 / sqrt(20000) = 0.035, of its truncated part to about twice that.
  it('recovers mean and sd of a clean normal sample', () => {
    const core = normalCore(sample(20000, 1, 0), 20000, { mean: 103, sd: 8 });
    expect(Math.abs(core.mean - 100)).toBeLessThan(0.2);
    expect(Math.abs(core.sd / 5 - 1)).toBeLessThan(0.02);
  });

  it('hardly notices light on the high side that pulls a plain mean far off', () => {
    const values = sample(20000, 2, 0.15);
    const plain = values.reduce((sum, v) => sum + v, 0) / values.length;
    const core = normalCore(values, values.length, { mean: 102, sd: 7 });
    expect(plain - 100).toBeGreaterThan(5);
    expect(Math.abs(core.mean - 100)).toBeLessThan(0.6);
    expect(Math.abs(core.sd / 5 - 1)).toBeLessThan(0.06);
  });

  it('gives the guess back when there is next to nothing to look at', () => {
    expect(normalCore(Float64Array.of(1, 2, 3), 3, { mean: 2, sd: 1 })).toMatchObject({ mean: 2, sd: 1 });
    expect(normalCore(new Float64Array(50).fill(7), 50, { mean: 7, sd: 0 })).toMatchObject({
      mean: 7,
      sd: 0,
    });
  });

  it('is the same from the sums of a sample as from the sample', () => {
    const values = sample(5000, 3, 0.1);
    const start = { mean: 101, sd: 6 };
    const core = normalCoreOf(
      (centre, low, high) => {
        const inside = values.filter((v) => v >= low && v <= high).map((v) => v - centre);
        return {
          n: inside.length,
          sum: inside.reduce((s, d) => s + d, 0),
          squares: inside.reduce((s, d) => s + d * d, 0),
        };
      },
      start,
      3,
      0.8,
    );
    expect(core).toEqual(normalCore(values, values.length, start, 3, 0.8));
  });
});
